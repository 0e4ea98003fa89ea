/**
 * What the server sends and takes, written after the Go structs of the
 * package app. The names are those of the Go types. Here stand the season, a
 * record and its parts; pages of their own have files of their own.
 */
import type { ShownColour, ShownTogether, ShownTone } from './colour';
import type { GivenAnswer } from './key';
import type { ShownSize } from './measure';
import type { Askable, ShownRequest } from './requests';

export type * from './deposits';
export type * from './finds';
export type * from './squares';

export type ID = string;
/** A day as "2026-10-10". */
export type CalendarDate = string;
export type Role = 'coordinator' | 'determiner' | 'leader' | 'recorder' | 'outsider';
export type Rank = 'species' | 'genus' | 'family' | 'kingdom' | (string & {});
export type Qualifier = '' | 'cf.' | 'aff.' | 'agg.' | 'sp.';
export type Basis = 'photographs' | 'description' | 'specimen' | 'microscope' | 'sequence';
export type ViewKind =
  | 'top'
  | 'side'
  | 'underneath'
  | 'surroundings'
  | 'cut'
  | 'base'
  | 'spore print'
  | 'close-up'
  | 'micrograph';
export type PlaceSource = 'camera' | 'phone' | 'pin' | 'text';

/** A day and, as far as they are known, its time and the clock's offset. */
export interface When {
  date: CalendarDate;
  time?: string;
  offset?: string;
}

/** ShownSeason is the season as the viewer may know it. */
export interface ShownSeason {
  code: string;
  title: string;
  place: string;
  description: string;
  starts: CalendarDate;
  ends: CalendarDate;
  today: CalendarDate;
  licence: string;
  zone: string;
  /** Box round the season's area */
  box: Box;
  /** Side of the season's squares in metres */
  grid: number;
  hasGround: boolean;
  invented: boolean;
  /** Who has come in; missing for an outsider */
  me?: ShownMe;
  /** Choices are the states offered for each character, in plain words. */
  choices: Choices;
}

/** Box is a rectangle in decimal degrees. */
export interface Box {
  west: number;
  east: number;
  north: number;
  south: number;
}

/** ShownMe is the viewer themselves. */
export interface ShownMe {
  id: ID;
  name: string;
  roles: Role[];
  /** Places lists the places of the app that the viewer may open: "daybook", "table", "book", "squares", "deposits", "desk". */
  places: string[];
  /** With what they came in */
  by: string;
  /** They have a way to come in again */
  returns: boolean;
}

/** Choice is a state of a character in plain words. */
export interface Choice {
  state: string;
  label: string;
  /** Plain definition */
  says: string;
  /** Those that are asked of a find of this form. */
  views?: ViewKind[];
}

/** Choices are the states offered when a find is recorded. */
export interface Choices {
  form: Choice[];
  substrate: Choice[];
  habit: Choice[];
  ripeness: Choice[];
  smell: Choice[];
  sporePrint: Choice[];
}

/** ShownPlace is what a viewer learns of a spot. It is made by showPlace alone. */
export interface ShownPlace {
  /** Words names the site or, withheld, the season's area. */
  words: string;
  /** Known is set when the position below is given. */
  known: boolean;
  lat?: number;
  lon?: number;
  /** Decimal, DMS and Square write the position in three notations. */
  decimal?: string;
  dms?: string;
  square?: string;
  /** Uncertainty is in metres; 0 when not known. */
  uncertainty?: number;
  source?: string;
  /** Protected is set when outsiders learn less; Says tells what they see and who decided. */
  protected?: boolean;
  says?: string;
  /** The recorder's own garden: held back from others. */
  garden?: boolean;
}

/** ShownName is a name as it is written: parts, so that the epithets can be set in italics and the rest upright. */
export interface ShownName {
  /** Name is empty when there is none that the viewer may see. */
  name?: string;
  authorship?: string;
  rank?: Rank;
  qualifier?: Qualifier;
  /** Instead says in words why no name stands here: "No name yet". */
  instead?: string;
}

/** ShownView is one view of a find. */
export interface ShownView {
  id: ID;
  kind: ViewKind;
  photograph: ID;
  /** Of the screen derivative, pixels */
  width: number;
  height: number;
  /** Time of day as the camera gave it */
  taken?: string;
  /** Of the original, pixels */
  fullWidth: number;
  fullHeight: number;
  /** Pixels of the screen derivative to a true millimetre, at the field card; missing without one */
  pxPerMm?: number;
  /** Others don't see it: a reader marked that a person can be seen. */
  withheld?: boolean;
  /** Says so in words, to the recorder and the coordinator. */
  waits?: string;
  /** A part was cut away for that reason. */
  cropped?: boolean;
}

/** ShownSlip is a determination slip. */
export interface ShownSlip {
  id: ID;
  name: ShownName;
  det: string;
  mine: boolean;
  date: CalendarDate;
  basis: Basis[];
  remark?: string;
  /** Independent is set when no earlier opinion had been seen. */
  independent: boolean;
}

/** ShownWithheld is a view that is there and not shown. */
export interface ShownWithheld {
  kind: ViewKind;
  says: string;
}

/** RecordSheet is a record as the viewer may see it. */
export interface RecordSheet {
  id: ID;
  number: string;
  name: ShownName;
  /** Facts is the sentence on views and what lacks; Naming that on opinions. */
  facts: string;
  naming: string;
  views: ShownView[];
  misses: ViewKind[];
  /** Views that are there and not shown, with why. */
  withheld?: ShownWithheld[];
  found: When;
  /** Day and time in words */
  foundWords: string;
  place: ShownPlace;
  /** Position is the raw place for the recorder's own form; missing for others. */
  editable?: EditableRecord;
  /** Of a record that the viewer may change: its version. */
  version?: number;
  recorder: string;
  mine: boolean;
  foray?: string;
  site?: string;
  /** Characters in plain words; empty when not looked for. */
  form?: string;
  formState?: string;
  substrate?: string;
  host?: string;
  habit?: string;
  ripeness?: string;
  smell?: string;
  sporePrint?: string;
  numberSeen?: number;
  voucher?: string;
  remarks?: string;
  /** Flap is set while field name and slips lie under the flap for this viewer. */
  flap: boolean;
  fieldName?: string;
  namedBy?: string;
  /** Newest first */
  slips: ShownSlip[];
  /** Read off views on the plane of the field card */
  sizes: ShownSize[];
  /** Colours that were measured in views, and those of one character joined from several */
  colours: ShownColour[];
  together: ShownTogether[];
  asked: ShownRequest[];
  /** Askable is what can be asked for, for those who may ask. */
  askable: Askable[];
  /** Unanswered are requests that came to an end without what was asked for. */
  unanswered: ShownRequest[];
  /** Care is a sentence when the find bears a name that needs two opinions. */
  care?: string;
  /** May lists what the viewer may do: "edit", "determine", "pass", "ask", "history". */
  may: string[];
  /** Drawing is set while the demonstration's photographs are still being drawn. */
  drawing?: boolean;
}

/** EditableRecord is what a recorder fills in, and gets back to change. */
export interface EditableRecord {
  found: When;
  place?: EditablePlace;
  fieldName?: string;
  namedBy?: string;
  form?: string;
  substrate?: string;
  host?: string;
  habit?: string;
  ripeness?: string;
  smell?: string;
  sporePrint?: string;
  numberSeen?: number;
  remarks?: string;
  /** It stands in the recorder's own garden: the place is held back from others */
  garden?: boolean;
  /** Answers to further questions; those not named stay as they are. */
  answers?: GivenAnswer[];
  views: EditableView[];
  /** Code of the foray; empty means found from date and place */
  foray?: string;
  /** Keep the place although it lies outside the season's area */
  outsideIsOK?: boolean;
  /** Keep the date although it is doubtful */
  dateIsOK?: boolean;
}

/** EditablePlace is a place as it is given. */
export interface EditablePlace {
  lat: number;
  lon: number;
  uncertainty?: number;
  source: PlaceSource;
  /** Text is what was typed; when Source is "text" the position is read from it. */
  text?: string;
}

/** EditableView says which photograph is which view. */
export interface EditableView {
  photograph: ID;
  kind: ViewKind;
  /** Again puts a view in again that was taken out of a record. */
  again?: boolean;
  /** How often the view got another kind; told, and not read. */
  renamed?: number;
}

/** ShownPhotograph is a photograph just handed in. */
export interface ShownPhotograph {
  id: ID;
  fileName: string;
  width: number;
  height: number;
  taken: When;
  /** Place is what the camera wrote; missing when it wrote none. */
  place?: EditablePlace;
  /** Notes are sentences to show beside it. */
  notes: string[];
  /** InRecord is the number of the viewer's record that already holds it. */
  inRecord?: string;
  /** Again is set when the same file had been handed in before. */
  again: boolean;
}

/** ShownPerson is somebody of the season, for the coordinator. */
export interface ShownPerson {
  id: ID;
  code?: string;
  name: string;
  credit?: string;
  minor: boolean;
  roles: Role[];
  scope?: string;
  /** Link is the address by which they come in. */
  link: string;
}

/** ShownAmendment is a line of a record's history. */
export interface ShownAmendment {
  at: string;
  by: string;
  /** What was changed, in words */
  what: string;
  /** Main colours, where a colour was measured */
  palette?: ShownTone[];
}

/** DrawingProgress tells how far the demonstration's photographs are drawn. */
export interface DrawingProgress {
  done: number;
  total: number;
  /** Time left */
  seconds: number;
  says: string;
}

/** ReadPlace is a typed place as it was understood. */
export interface ReadPlace {
  lat: number;
  lon: number;
  decimal: string;
  dms: string;
  /** Metres, from the digits given */
  uncertainty: number;
  /** Whether it lies in the season's area */
  inside: boolean;
  says?: string;
}
