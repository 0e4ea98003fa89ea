/** What phones take along and send; names as in the Go package app. */
import type { Ruling } from './desk';
import type { ComingForay } from './foray';
import type { EditableRecord, ID, ShownName, ShownSeason } from './types';

/** A site's sheet as it is taken along. */
export interface HeldSite {
  id: ID;
  code: string;
  name: string;
  hazards: string[];
  road?: string;
  meeting?: string;
  rule?: string;
  words?: string;
  rulings: Ruling[];
}

/** The season as it is taken along. */
export interface HeldSeason {
  season: ShownSeason;
  emergency?: string;
  poisonCentre?: string;
  sites: HeldSite[];
  forays: ComingForay[];
  /** One's own latest records; left out by older servers. */
  records?: HeldRecord[];
  /** The season's own tables, by which the next question is chosen; left out by older servers. */
  key?: HeldKey;
}

/** A record of one's own as it stood when it was taken along. */
export interface HeldRecord {
  id: ID;
  number: string;
  name: ShownName;
  version: number;
  editable: EditableRecord;
}

/** The season's own characters and matrix as tables, the matrix without names; each left out where it has none. */
export interface HeldKey {
  characters?: string;
  matrix?: string;
}

/** A name of the checklist. */
export interface HeldName {
  name: string;
  /** The accepted name when this one is a synonym. */
  accepted?: string;
}

/** What became of a record that was sent. */
export interface MessageAnswer {
  phone: ID;
  number: number;
  record: ID;
  state: 'taken' | 'missing' | 'refused' | 'later';
  fieldNumber?: string;
  version?: number;
  kept: string[];
  missing: string[];
  lost: { field: string; why: string }[];
  says?: string;
  faults: { field: string; says: string }[];
}
