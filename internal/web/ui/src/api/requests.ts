// More evidence that is asked for of a find.
import type { CalendarDate, ID, RecordSheet, ShownName, ViewKind } from './types';

/** RequestKind is what is asked for; without one a view is. */
export type RequestKind = '' | 'size' | 'specimen';

/** RequestEnd is how somebody ends a request. */
export type RequestEnd = 'gone' | 'taken back' | 'kept';

/** ShownRequest is something asked for. */
export interface ShownRequest {
  id: ID;
  /** Blank: a view */
  what?: RequestKind;
  view?: ViewKind;
  /** Words name what is asked for: underneath, size, specimen. */
  words: string;
  by: string;
  /** The set sentence shown to whoever is asked */
  says: string;
  /** Return says whether going back can still supply it, or why it ended. */
  return: string;
  /** Until is the last day on which going back is worth while. */
  until?: CalendarDate;
  /** May lists how the viewer may end it. */
  may: RequestEnd[];
}

/** Askable is something that can be asked for of a find, or can't for a reason. */
export interface Askable {
  what?: RequestKind;
  view?: ViewKind;
  words: string;
  /** Cannot says why it can't be asked for; empty where it can. */
  cannot?: string;
}

/** AskedWith is what is asked for of a find of a child who takes part under the viewer. */
export interface AskedWith {
  record: ID;
  number: string;
  child: string;
  name: ShownName;
  found: string;
  asked: ShownRequest[];
}

/** GivenRequest asks for more evidence of a find. */
export interface GivenRequest {
  id: ID;
  /** Blank: another view; else size or specimen */
  what?: RequestKind;
  view?: ViewKind;
}

/** Asked is called with the sheet and the name of what was asked for. */
export type Asked = (sheet: RecordSheet, words: string) => void;
