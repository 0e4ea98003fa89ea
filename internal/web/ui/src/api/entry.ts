/** What the server sends and takes where people come in, written after the Go structs of the packages app and web. */
import type { CalendarDate, ID } from './types';

/** CameIn says as whom somebody came in. */
export interface CameIn {
  name: string;
  /** One-time codes, shown this once */
  recoveryCodes?: string[];
}

/** ShownSession is a device on which somebody came in. */
export interface ShownSession {
  id: ID;
  label: string;
  by: string;
  created: string;
  /** To the quarter hour */
  seen: string;
  /** When it ends if it is not used again */
  ends: string;
  /** The device that asks */
  here: boolean;
}

/** GivenPhrase is a recovery phrase, shown this once. */
export interface GivenPhrase {
  /** Six words, to be written down or said aloud */
  phrase: string;
  /** Whom it lets in */
  for: string;
}

/** ShownFieldCode is the code by which recorders take part, for the desk. */
export interface ShownFieldCode {
  /** Empty while there is none */
  code: string;
  /** Last day on which it lets anybody in */
  last: CalendarDate;
  lets: boolean;
  says?: string;
  renew?: boolean;
}

/** ShownGuesses tells the coordinator what was tried in vain to come in. */
export interface ShownGuesses {
  what: string;
  /** A mark that leads nobody back */
  from: string;
  wrong: number;
  first: string;
  last: string;
  /** The next try from there has to wait */
  waits: boolean;
}
