/** What the server sends and takes on the rights of people, written after the Go structs of the package app. */
import type { ConsentAbout } from './person';
import type { CalendarDate, ID } from './types';

/** KeptPage is all that is kept about somebody, what for and how long. */
export interface KeptPage {
  id: ID;
  name: string;
  /** It is about whoever asks */
  mine: boolean;
  minor?: boolean;
  /** Their name was taken out */
  gone?: boolean;
  parts: KeptPart[];
  /** What they agreed to, and may withdraw */
  agreed: { about: ConsentAbout; words: string; given: CalendarDate }[];
  /** Children take part under them. */
  children: { id: ID; name: string }[];
  /** By field number; those taken out can be put back */
  records: KeptRecord[];
  asked?: KeptWish;
  mayExport: boolean;
  mayAsk: boolean;
  mayTakeOut: boolean;
  /** What taking the name out does not reach */
  stays: string[];
  /** How long backups hold it */
  backups: string;
}

/** KeptPart is a sort of thing that is kept. */
export interface KeptPart {
  what: string;
  lines: string[];
  for: string;
  until: string;
}

/** KeptRecord is a record of somebody's. */
export interface KeptRecord {
  id: ID;
  number: string;
  /** Day, and the name it bears */
  says: string;
  out?: boolean;
}

/** KeptWish is what somebody asked for, as they read it. */
export interface KeptWish {
  pictures?: boolean;
  created: string;
  /** Whoever reads it asked; else the child or their adult did */
  byMe: boolean;
  open: boolean;
  says: string;
}

/** MentionsPage is where somebody's name stands in others' words. */
export interface MentionsPage {
  names: string[];
  mentions: Mention[];
}

/** Mention is a thing of somebody else's in whose words a name stands. */
export interface Mention {
  id: ID;
  where: string;
  text: string;
  /** It stands in the history alone */
  former?: boolean;
}

/** WishesPage is what people ask for, and how it may be declined. */
export interface WishesPage {
  /** Those that wait first */
  wishes: ShownWish[];
  open: number;
  refusals: { how: string; says: string }[];
}

/** ShownWish is what somebody asks for, for the desk. */
export interface ShownWish {
  id: ID;
  person: ID;
  name: string;
  code?: string;
  child?: boolean;
  /** Who asked, where it was not the person themselves */
  by: string;
  pictures?: boolean;
  created: string;
  open: boolean;
  settled?: string;
  settledBy?: string;
  /** What happens, or happened */
  says: string;
}
