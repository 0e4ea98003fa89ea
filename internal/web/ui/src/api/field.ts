/** What phones take along and send; names as in the Go package app. */
import type { Ruling } from './desk';
import type { ComingForay } from './foray';
import type { ID, ShownSeason } from './types';

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
