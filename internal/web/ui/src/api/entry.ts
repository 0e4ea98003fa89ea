/** What the server sends and takes where people come in, written after the Go structs of the packages app and web. */
import type { CalendarDate, ID, Role } from './types';

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
  /** It is to let nobody in until it is opened again */
  closed?: boolean;
  /** How many it has let in, and when the latest came */
  let?: number;
  letAt?: string;
  renew?: boolean;
}

/** ShownGuesses tells the coordinator what was tried in vain to come in. */
export interface ShownGuesses {
  /** "new recorders" are those whom the right field code let in, where they are unusually many */
  what: string;
  /** A mark that leads nobody back */
  from: string;
  wrong: number;
  first: string;
  last: string;
  /** The next try from there has to wait */
  waits: boolean;
}

/** PasskeyAsked is a challenge, for the browser to answer. */
export interface PasskeyAsked {
  /** To be sent back with the answer */
  ceremony: string;
  /** For navigator.credentials, in its JSON form */
  options: unknown;
}

/** PasskeyAnswer is what the browser made of a challenge. */
export interface PasskeyAnswer {
  ceremony: string;
  /** The credential in its JSON form */
  answer: unknown;
}

/** AskedIn is what an invitation says to whoever opens it. */
export interface AskedIn {
  season: string;
  roles: Role[];
  /** Whom it invites anew */
  name?: string;
  until: string;
}

/** ShownPasskey is a passkey by its label. */
export interface ShownPasskey {
  id: ID;
  label: string;
  created: string;
  used?: string;
}

/** ShownWays are somebody's own ways in. */
export interface ShownWays {
  /** The name that goes with the password */
  signIn?: string;
  passkeys: ShownPasskey[];
  /** Recovery codes that are left */
  codes: number;
  /** There is a recovery phrase */
  phrase: boolean;
  /** May keep a password and passkeys */
  keeps: boolean;
}

/** ShownInvitation is an invitation as the coordinators see it. */
export interface ShownInvitation {
  id: ID;
  roles: Role[];
  note?: string;
  /** Name of whom it invites anew */
  person?: string;
  /** Who made it */
  by: string;
  created: string;
  until: string;
  state: 'open' | 'used' | 'taken back' | 'run out';
  usedBy?: string;
}

/** MadeInvitation is an invitation with its link, shown this once. */
export interface MadeInvitation extends ShownInvitation {
  link: string;
  /** The link as a square code, a row a string of 1 and 0 */
  square?: string[];
}
