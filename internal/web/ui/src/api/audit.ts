/** What the server sends of the audit and of earlier sign-ins, written after the Go structs of the package app. */
import type { ID } from './types';

export type AuditList = 'looks' | 'changes' | 'entries' | 'guesses';

/** AuditThing is what an act was about, as it can be opened. */
export interface AuditThing {
  kind: string;
  id: ID;
  words: string;
}

/** AuditLine is a line of the audit. No line holds a place. */
export interface AuditLine {
  seq?: number;
  at: string;
  person?: ID;
  by: string;
  /** What was done, in words, without values */
  what: string;
  thing?: AuditThing;
}

/** AuditAct is a sort of act by its code and in words. */
export interface AuditAct {
  act: string;
  words: string;
}

/** AuditPerson is somebody whose lines can be asked for. */
export interface AuditPerson {
  id: ID;
  name: string;
  code?: string;
}

/** AuditPage is a page of the audit, newest first. */
export interface AuditPage {
  what: string;
  lines: AuditLine[];
  /** What to ask for as "before" to read on */
  next?: string;
  acts: AuditAct[];
  people: AuditPerson[];
  /** How long lines of this list are kept */
  kept: string;
}

/** ShownSignIn is a sign-in of one's own that is over. */
export interface ShownSignIn {
  id: ID;
  /** What sort of device it was */
  label: string;
  by: string;
  created: string;
  /** Missing where it ended by itself */
  ended?: string;
  /** How it ended */
  says: string;
  /** When this line is erased at the latest */
  until: string;
}
