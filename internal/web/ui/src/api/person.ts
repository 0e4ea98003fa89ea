/** What the server sends and takes of people at the Season desk, written after the Go structs of the package app. */
import type { CalendarDate, ID, Role } from './types';

export type ConsentAbout = 'name' | 'pictures' | 'letters';

/** Consent is something that a person agreed to on a day, and until when. */
export interface Consent {
  about: ConsentAbout;
  given: CalendarDate;
  withdrawn?: CalendarDate;
  /** On paper, in the app, by the guardian */
  how?: string;
  /** How it was taken back: by letter, on the telephone */
  withdrawnHow?: string;
}

/** EditablePerson is somebody of the season as the Season desk shows and takes them. */
export interface EditablePerson {
  id: ID;
  code?: string;
  name: string;
  /** Name published with finds; empty: name withheld */
  credit?: string;
  minor?: boolean;
  guardian?: ID;
  roles: Role[];
  scope?: string;
  groups: string[];
  /** Hours a week that a determiner offers */
  hours?: number;
  consents: Consent[];
  /** How the guardian is called */
  guardianName?: string;
  link: string;
  notes: string[];
}
