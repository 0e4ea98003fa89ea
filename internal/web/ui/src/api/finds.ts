/** Pages that list finds: the Daybook, the Record book, the table. The names are those of the Go types. */
import type { AskedWith, ShownRequest } from './requests';
import type { Basis, CalendarDate, Choice, ID, Qualifier, Rank, ShownName, ViewKind } from './types';

/** DaybookPage is a recorder's records of a day. */
export interface DaybookPage {
  date: CalendarDate;
  /** Where names the foray or sites of the day in words. */
  where: string;
  finds: DayFind[];
  /** Other days with records, newest first */
  days: DayCount[];
  /** With is what is asked for of finds of children who take part under the viewer. */
  with: AskedWith[];
}

/** DayCount is a day with its number of records. */
export interface DayCount {
  date: CalendarDate;
  finds: number;
}

/** DayFind is a line of the Daybook. */
export interface DayFind {
  id: ID;
  number: string;
  /** Field name, or the name a determiner gave */
  name: ShownName;
  /** Who gave it, when it is a determination */
  det?: string;
  /** What it grows on and how */
  on: string;
  has: ViewKind[];
  misses: ViewKind[];
  facts: string;
  asked: ShownRequest[];
  thumb?: ID;
  drawing?: boolean;
}

/** BookPage is part of the Record book. */
export interface BookPage {
  /** How many records answer the query */
  total: number;
  /** How many there are that the viewer may see */
  all: number;
  lines: BookLine[];
  /** Counts tells how many records of the whole book each fact holds for. */
  counts: Record<string, number>;
  forays: Coded[];
  sites: Coded[];
  /** Forms that occur */
  forms: Choice[];
  /** Names that measured colours can be found by, the coarser first */
  colourNames: string[];
}

/** Coded is a foray or site by code and name. */
export interface Coded {
  code: string;
  name: string;
}

/** BookLine is a line of the Record book. */
export interface BookLine {
  id: ID;
  number: string;
  name: ShownName;
  /** Day, or month when withheld */
  date: string;
  place: string;
  recorder: string;
  on: string;
  facts: string;
  naming: string;
  thumb?: ID;
  protected?: boolean;
  /** The first of its measured colours */
  tones: BookTone[];
  /** How far the nearest lies from the colour asked for, CIEDE2000 */
  off?: number;
}

/** BookTone is a measured colour in a line of the Record book. */
export interface BookTone {
  swatch: string;
  name: string;
  label: string;
}

/** TablePage is what waits on the table for the viewer. */
export interface TablePage {
  waits: number;
  groups: TableGroup[];
  /** Determiners are those to whom a find can be passed. */
  determiners: ShownDeterminer[];
}

/** TableGroup is a pile of the table. */
export interface TableGroup {
  code: string;
  /** Gilled, on soil and litter */
  title: string;
  /** On soil and litter */
  short: string;
  /** Name of the line drawing */
  drawing: string;
  finds: TableFind[];
}

/** TableFind is a find that waits. */
export interface TableFind {
  id: ID;
  number: string;
  /** Why is "name", "second opinion" or "differ". */
  why: string;
  /** Care is set when a look-alike is to be ruled out. It says nothing of which; it is known from the form alone or once the flap is lifted. */
  care: boolean;
  /** PassedToMe is set when somebody handed it to the viewer. */
  passedToMe: boolean;
}

/** ShownDeterminer is a determiner as others see them. */
export interface ShownDeterminer {
  id: ID;
  code?: string;
  name: string;
  scope: string;
}

/** GivenName is what a determiner puts on a slip. */
export interface GivenName {
  /** UUIDv7 made where the slip is written, so that sending twice is harmless */
  id: ID;
  name: string;
  qualifier?: Qualifier;
  basis: Basis[];
  remark?: string;
}

/** NameChoice is a completion from the checklist. */
export interface NameChoice {
  id: ID;
  name: string;
  authorship?: string;
  rank: Rank;
  family?: string;
  /** Accepted is the accepted name when this one is a synonym. */
  accepted?: string;
}
