/** What the server sends and takes at the Season desk, written after the Go structs of the package app. */
import type { CalendarDate, ID, ViewKind } from './types';

/** What a permission says about one thing: '' where nobody knows. */
export type Leave = 'yes' | 'no' | '';

/** Permission is what a land manager allows on a site. */
export interface Permission {
  words?: string;
  from?: CalendarDate;
  until?: CalendarDate;
  part?: string;
  people?: number;
  pick?: Leave;
  cut?: Leave;
  dig?: Leave;
  take?: Leave;
}

/** Longitude and latitude. */
export type LonLat = [number, number];

/** ShownDeskSite is a site as the Season desk shows and takes it. */
export interface ShownDeskSite {
  id: ID;
  code: string;
  name: string;
  description?: string;
  habitat: string[];
  lat: number;
  lon: number;
  /** metres */
  radius?: number;
  /** Rings; empty while not drawn */
  outline: LonLat[][];
  hectares?: number;
  manager?: string;
  /** Anybody may go there; else private ground */
  open?: boolean;
  permission?: Permission;
  hazards: string[];
  road?: string;
  meeting?: string;
  rule?: string;
  assessed?: CalendarDate;
  assessedBy?: string;
  forays: number;
  records: number;
  notes: string[];
}

/** ShownForay is a foray or visit as the Season desk shows and takes it. */
export interface ShownForay {
  id: ID;
  code: string;
  name: string;
  /** Code of the site */
  site: string;
  date: CalendarDate;
  start?: string;
  end?: string;
  /** Where it ends past midnight */
  endDate?: CalendarDate;
  /** Without a leader */
  visit?: boolean;
  by?: ID;
  leader?: ID;
  people?: number;
  weather?: string;
  route: LonLat[];
  targets: string[];
  /** Looked for, found none */
  notFound: string[];
  /** Groups that were looked for at all */
  scope: string[];
  /** Every kind of the scope that was seen is reported */
  wholeScope?: boolean;
  signedUp: ID[];
  note?: string;
  siteID?: ID;
  siteName: string;
  leaderName?: string;
  byName?: string;
  /** Names of those signed up; for whoever keeps the foray */
  coming?: string[];
  /** Those who ask to come to private ground */
  asking?: ID[];
  askingNames?: string[];
  records: number;
  /** How long it lasts */
  hours?: number;
  notes: string[];
}

/** Settings are what the coordinator sets for the whole season. */
export interface Settings {
  title: string;
  place: string;
  description?: string;
  starts: CalendarDate;
  ends: CalendarDate;
  zone: string;
  licence: string;
  rightsHolder?: string;
  contact?: string;
  contactAddress?: string;
  checklist?: string;
  /** Telephone number */
  emergency?: string;
  /** Telephone number */
  poisonCentre?: string;
  /** RFC 5646 tags, such as en or pt-BR */
  languages: string[];
  /** Rings of the season's area; left out, it stays as it is */
  area?: LonLat[][];
  /** Side of the season's squares in metres */
  grid?: number;
  /** Keeps a new area although finds or sites lie outside it */
  areaIsOK?: boolean;
  opened?: CalendarDate;
  /** What keeps the season closed */
  missing: string[];
  /** What of the season lies outside its area, by count */
  outside: string[];
  hectares: number;
}

/** What outsiders learn of a place: the season's area where it is left out */
export type Telling = '' | 'nothing' | '10 km' | '1 km';

/** ShownProtection is a protected name with its rule. */
export interface ShownProtection {
  id: ID;
  name: string;
  reason: string;
  /** 1 (extreme) to 4 (low) */
  category: number;
  tells?: Telling;
  /** Whether people may be asked to pick, cut or keep it, as far as the site allows */
  touch?: boolean;
  /** Finds that bear the name by any opinion */
  finds: number;
  removed?: CalendarDate;
}

/** ShownLookAlike is a pair of look-alikes. */
export interface ShownLookAlike {
  id: ID;
  name: string;
  takenFor: string;
  why?: string;
  settles?: string;
  views: ViewKind[];
  removed?: CalendarDate;
}

/** CareLists are the names that need care, those that stand and those that were taken off. */
export interface CareLists {
  protected: ShownProtection[];
  lookAlikes: ShownLookAlike[];
  goneProtected: ShownProtection[];
  goneLookAlikes: ShownLookAlike[];
}

/** Ruling is whether people may be asked to do something, and what to say in its stead. */
export interface Ruling {
  prompt: 'pick' | 'cut' | 'dig' | 'print' | 'keep';
  may: boolean;
  why?: string;
  instead?: string;
}

/** TableDone tells what became of a table handed in. */
export interface TableDone {
  added: number;
  changed: number;
  /** Rows that stood there just so */
  same: number;
  faults: string[];
}

/** ReadShape is an outline or a route read from a file, or a drawn outline that was checked. */
export interface ReadShape {
  rings: LonLat[][];
  line: LonLat[];
  /** Sentences on what was settled by rule */
  notes: string[];
  /** What keeps the outline from being used */
  faults: ShapeFault[];
  hectares?: number;
  /** Length of a route */
  metres?: number;
}

/** ShapeFault is a fault of an outline, with the spot where it is. */
export interface ShapeFault {
  says: string;
  lat?: number;
  lon?: number;
}
