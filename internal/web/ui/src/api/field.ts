/** What phones take along and send; names as in the Go package app. */
import type { SpotAsked } from '../field/checks';
import type { Ruling } from './desk';
import type { ComingForay } from './foray';
import type { ShownAnswer } from './key';
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
  /** Where it lies, of open sites that no private ground is near. */
  land?: HeldLand;
}

/** Where an open site lies, and what people may be asked to do there on a day that its permission covers. */
export interface HeldLand {
  lat: number;
  lon: number;
  /** Metres. */
  radius: number;
  from?: string;
  until?: string;
  leaves: Ruling[];
}

/** The season as it is taken along. */
export interface HeldSeason {
  season: ShownSeason;
  emergency?: string;
  poisonCentre?: string;
  sites: HeldSite[];
  forays: ComingForay[];
  /** What people may be asked to do where nobody knows whose land it is; left out by older servers. */
  nowhere?: Ruling[];
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
  /** What further questions about it go by; left out by older servers. */
  known?: HeldKnown;
}

/** What is known of a record of one's own, as further questions about it go by it. */
export interface HeldKnown {
  /** What the find looks like; '' while nobody has said. */
  group: string;
  asked: SpotAsked;
  answered: ShownAnswer[];
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
