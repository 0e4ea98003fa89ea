/** What the server sends and takes of forays: their tables, and those to come. Written after the Go structs of the package app. */
import type { ShownForay } from './desk';
import type { CalendarDate, ID, Qualifier, ShownDeterminer, ViewKind } from './types';

/** ForayRow is a line of the foray table: a find named in the hand. */
export interface ForayRow {
  id: ID;
  /** Field number on the slip; blank: the next one */
  number?: string;
  name: string;
  qualifier?: Qualifier;
  /** Code or name of who named it in the hand */
  determiner?: string;
  substrate?: string;
  host?: string;
  count?: number;
  /** A specimen was kept */
  kept?: boolean;
  /** Photographs laid to it */
  views?: ViewKind[];
}

/** ForayTablePage is the table of a foray with what is wanted beside it. */
export interface ForayTablePage {
  foray: ShownForay;
  rows: ForayRow[];
  /** Determiners may put a qualifier to a name. */
  determiners: ShownDeterminer[];
  /** The field number that the next find without one would get */
  next: string;
  /** Numbers printed for this foray that no record bears yet */
  slips: string[];
  /** Rows that were taken out and can be put back */
  out: ForayRow[];
}

/** ForayTableDone tells what became of the rows. */
export interface ForayTableDone {
  rows: ForayRowDone[];
  added: number;
  /** Rows that stood there just so */
  same: number;
  faults: number;
}

/** ForayRowDone is what became of a row: its field number, or what is wrong. */
export interface ForayRowDone {
  id: ID;
  number?: string;
  fault?: string;
  field?: string;
}

/** ComingForay is a foray that lies ahead, as everybody who came in may know it. */
export interface ComingForay {
  id: ID;
  code: string;
  name: string;
  date: CalendarDate;
  start?: string;
  end?: string;
  endDate?: CalendarDate;
  site: string;
  /** Where to meet, in words */
  meeting?: string;
  /** How to get there */
  road?: string;
  leader?: string;
  /** How many said that they come */
  signedUp: number;
  /** How many may; missing where nobody set a limit */
  places?: number;
  /** The viewer signed up */
  comes: boolean;
  /** Private ground that the viewer does not know: they ask to come */
  private?: boolean;
  /** The viewer asks to come */
  asks?: boolean;
  /** The viewer leads it */
  leads?: boolean;
  /** What its leader counted */
  heads?: Heads;
}

/** Heads counted at a foray, with the time of day. */
export interface Heads {
  out?: number;
  outAt?: string;
  back?: number;
  backAt?: string;
  /** How many are not back by these counts */
  away: number;
}

/** ShownSlips is a run of numbers that was printed on field slips. */
export interface ShownSlips {
  id: ID;
  first: string;
  last: string;
  count: number;
  foray?: ID;
  forayName?: string;
  /** Who printed them first */
  by?: string;
  printed: CalendarDate;
  /** How many stand on a record */
  used: number;
}

/** ShownLeader is somebody who may lead a foray. */
export interface ShownLeader {
  id: ID;
  name: string;
  code?: string;
}

/** NameAsked is a file's name, with the number that somebody gave it. */
export interface NameAsked {
  file: string;
  /** Number typed for it; blank: the one in its name */
  number?: string;
}

/** NamedFile is what is proposed of a photograph by its file's name. */
export interface NamedFile {
  file: string;
  number?: string;
  record?: ID;
  kind?: ViewKind;
  /** Why the photograph goes to no find */
  says?: string;
}

/** NumberedFind is a find that photographs can be laid to. */
export interface NumberedFind {
  record: ID;
  number: string;
  /** Name given in the hand */
  name: string;
  date: CalendarDate;
  /** Those that it has */
  views: ViewKind[];
}

/** NamedFiles is what was read of files' names. */
export interface NamedFiles {
  files: NamedFile[];
  finds: NumberedFind[];
}
