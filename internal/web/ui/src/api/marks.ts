/** What the server sends and takes about views on which a person can be seen, written after the Go structs of the package app. */
import type { ID, ViewKind } from './types';

export type MarkState = 'waiting' | 'cleared' | 'cropped';

/** ShownMarker is a reader who marked views. */
export interface ShownMarker {
  id: ID;
  name: string;
  /** Marks of theirs that nobody has looked at */
  open: number;
  /** Marks of theirs that were cleared: nobody was seen */
  cleared: number;
  /** Marks of theirs upon which a view was cropped */
  cropped: number;
}

/** ShownMark is a view that was marked, for the desk. */
export interface ShownMark {
  view: ID;
  record: ID;
  number: string;
  kind: ViewKind;
  photograph: ID;
  width: number;
  height: number;
  /** Of what is shown of the original, pixels */
  fullWidth: number;
  fullHeight: number;
  recorder: string;
  state: MarkState;
  /** When it was first marked */
  since: string;
  settled?: string;
  settledBy?: string;
  /** The set reason in words, where it was cleared */
  why?: string;
  /** The recorder cropped the view after it was marked. */
  ownCrop?: boolean;
  by: ShownMarker[];
}

/** Reason is a set reason with its sentence. */
export interface Reason {
  why: string;
  says: string;
}

/** MarksPage is part of the list of marked views. */
export interface MarksPage {
  state: MarkState | 'all';
  total: number;
  lines: ShownMark[];
  waiting: number;
  cleared: number;
  cropped: number;
  markers: ShownMarker[];
  reasons: Reason[];
}

/** GivenCrop is the part of a view that is to stay, in parts of the picture as it is shown. */
export interface GivenCrop {
  left: number;
  top: number;
  width: number;
  height: number;
  seenWidth?: number;
  seenHeight?: number;
}
