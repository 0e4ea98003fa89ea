/** What a recorder has entered so far, kept on the device until the server has it. */
import type { HeldRecord } from '../api/field';
import type { GivenAnswer } from '../api/key';
import type { EditablePlace, EditableRecord, RecordSheet, ShownPhotograph, ViewKind, When } from '../api/types';

/** A photograph that has been handed in. */
export interface DraftPhotograph {
  id: string;
  fileName: string;
  kind: ViewKind;
  taken?: When;
  place?: EditablePlace;
  notes: string[];
  /** Number of another record of the same recorder that holds it. */
  inRecord?: string;
  /** Set when the record on the server has it already: the view that it is there. */
  kept?: string;
  /** How often it had been called another view there. */
  renamed?: number;
  /** The kind is a guess that nobody has looked over yet. */
  guessed?: boolean;
}

/** An answer to a further question, with the words that it was given in. */
export interface DraftAnswer {
  given: GivenAnswer;
  label: string;
  said: string;
}

/** Draft is a record being filled in. */
export interface Draft {
  /** Identifier of the record, made here. */
  id: string;
  /** Field number of the record that is being changed; '' for a new one. */
  number: string;
  photographs: DraftPhotograph[];
  /** How many photographs wait on the device to be handed in: a draft that has nothing else is begun all the same. */
  coming: number;
  /** Chosen when there is no photograph: it was named in the hand. */
  inTheHand: boolean;
  found: When;
  /** Where `found` comes from; the camera's word is taken until somebody changes it. */
  foundFrom: 'camera' | 'today' | 'given';
  place: EditablePlace | null;
  /** no: not asked yet; unknown: "don't know yet". */
  placeSaid: 'no' | 'unknown' | 'camera' | 'given';
  /** It stands in the recorder's own garden. */
  garden: boolean;
  /** Somebody ticked or cleared it; until then it follows from where it is. */
  gardenSaid: boolean;
  fieldName: string;
  nameUnknown: boolean;
  namedBy: string;
  form: string;
  substrate: string;
  host: string;
  habit: string;
  ripeness: string;
  smell: string;
  sporePrint: string;
  numberSeen: number;
  remarks: string;
  /** Answers to further questions, given on the spot. */
  answers: DraftAnswer[];
  outsideIsOK: boolean;
  dateIsOK: boolean;
  /** Of a record that is being changed: the version that was seen, and the record as it was then. */
  seen?: number;
  was?: EditableRecord;
}

/** emptyDraft is a new record of today. */
export function emptyDraft(id: string, found: When): Draft {
  return {
    id, number: '', photographs: [], coming: 0, inTheHand: false, found, foundFrom: 'today', place: null, placeSaid: 'no', garden: false, gardenSaid: false,
    fieldName: '', nameUnknown: false, namedBy: '', form: '', substrate: '', host: '', habit: '', ripeness: '',
    smell: '', sporePrint: '', numberSeen: 0, remarks: '', answers: [], outsideIsOK: false, dateIsOK: false,
  };
}

/** renamedSo tells how often a photograph had been called another view. */
function renamedSo(views: EditableRecord['views'] | undefined, photograph: string): { renamed?: number } {
  const times = views?.find((v) => v.photograph === photograph)?.renamed;
  return times ? { renamed: times } : {};
}

/** draftOf makes a draft of a record that is to be changed; null when the viewer may not. */
export function draftOf(sheet: RecordSheet): Draft | null {
  if (!sheet.editable) return null;
  const d = draftOfHeld({ id: sheet.id, number: sheet.number, version: sheet.version ?? 0, editable: sheet.editable });
  return { ...d, photographs: sheet.views.map((v) => ({ id: v.photograph, fileName: '', kind: v.kind, notes: [], kept: v.id, ...renamedSo(sheet.editable?.views, v.photograph) })), inTheHand: sheet.views.length === 0 };
}

/** draftOfHeld makes a draft of a record that was taken along. */
export function draftOfHeld(r: Pick<HeldRecord, 'id' | 'number' | 'version' | 'editable'>): Draft {
  const e = r.editable;
  const views = e.views ?? [];
  const d: Draft = {
    ...emptyDraft(r.id, e.found),
    number: r.number,
    photographs: views.map((v) => ({ id: v.photograph, fileName: '', kind: v.kind, notes: [], kept: v.photograph, ...renamedSo(views, v.photograph) })),
    inTheHand: views.length === 0,
    foundFrom: 'given',
    place: e.place ?? null,
    placeSaid: e.place ? 'given' : 'unknown',
    garden: e.garden ?? false,
    gardenSaid: true,
    fieldName: e.fieldName ?? '',
    nameUnknown: !e.fieldName,
    namedBy: e.namedBy ?? '',
    form: e.form ?? '', substrate: e.substrate ?? '', host: e.host ?? '', habit: e.habit ?? '', ripeness: e.ripeness ?? '',
    smell: e.smell ?? '', sporePrint: e.sporePrint ?? '', numberSeen: e.numberSeen ?? 0, remarks: e.remarks ?? '',
    outsideIsOK: true,
    dateIsOK: true,
  };
  return { ...d, seen: r.version, was: editableOf(d) };
}

/** What a message sets: fields by name; null blanks one. */
export type Said = Record<string, unknown>;

/** saidIn is what a draft says: of a new record all that is filled in, of one that is changed what differs from what was seen. */
export function saidIn(d: Draft): Said {
  const { views: _, outsideIsOK: __, dateIsOK: ___, ...now } = editableOf(d);
  const blank = (value: unknown) => value === '' || value === 0 || value === undefined;
  if (!d.was) return Object.fromEntries(Object.entries(now).filter(([, value]) => !blank(value)));
  const was = d.was as unknown as Said;
  const fields = new Set([...Object.keys(now), 'place', 'garden']);
  const said: Said = {};
  for (const field of fields) {
    const value = (now as Said)[field];
    if (blank(value) && blank(was[field])) continue;
    if (JSON.stringify(value) !== JSON.stringify(was[field])) said[field] = blank(value) ? null : value;
  }
  return said;
}

/** withAnswer is a draft in which a question is answered, in place of what was answered before; one that takes back what nobody else has is left out. */
export function withAnswer(d: Draft, answer: DraftAnswer, stands: boolean): Draft {
  const others = d.answers.filter((a) => a.given.character !== answer.given.character);
  const back = Object.keys(answer.given).length === 1;
  return { ...d, answers: back && !stands ? others : [...others, answer] };
}

/** A view that the server has, called another one; seen: how often it had been called another one before. */
export interface Renaming {
  photograph: string;
  kind: ViewKind;
  seen?: number;
}

/** renamedIn lists the views that the server has and that are called others than they were when they were seen. */
export function renamedIn(d: Draft): Renaming[] {
  return d.photographs
    .filter((p) => p.kept && d.was?.views?.some((v) => v.photograph === p.id && v.kind !== p.kind))
    .map((p) => ({ photograph: p.id, kind: p.kind, ...(p.renamed ? { seen: p.renamed } : {}) }));
}

/** editableOf is what the server is sent. */
export function editableOf(d: Draft): EditableRecord {
  return {
    found: { date: d.found.date, ...(d.found.time ? { time: d.found.time } : {}), ...(d.found.time && d.found.offset ? { offset: d.found.offset } : {}) },
    ...(d.place && d.placeSaid !== 'unknown' ? { place: d.place } : {}),
    ...(d.garden ? { garden: true } : {}),
    fieldName: d.fieldName.trim(),
    namedBy: d.fieldName.trim() === '' && !d.inTheHand ? '' : d.namedBy.trim(),
    form: d.form, substrate: d.substrate, host: d.host.trim(), habit: d.habit, ripeness: d.ripeness, smell: d.smell.trim(),
    sporePrint: d.sporePrint, numberSeen: d.numberSeen, remarks: d.remarks.trim(),
    ...(d.answers.length > 0 ? { answers: d.answers.map((a) => a.given) } : {}),
    // What was chosen here may have been taken out of a record before.
    views: d.photographs.map((p) => ({ photograph: p.id, kind: p.kind, ...(p.kept ? {} : { again: true }) })),
    outsideIsOK: d.outsideIsOK,
    dateIsOK: d.dateIsOK,
  };
}

/** photographOf is a photograph as it stands in the draft. */
export function photographOf(shown: ShownPhotograph, kind: ViewKind): DraftPhotograph {
  return {
    id: shown.id, fileName: shown.fileName, kind, notes: shown.notes ?? [],
    ...(shown.taken?.date ? { taken: shown.taken } : {}),
    ...(shown.place ? { place: shown.place } : {}),
    ...(shown.inRecord ? { inRecord: shown.inRecord } : {}),
  };
}

/**
 * withCamera takes day, time and place from the photographs, the earliest
 * first, as long as nobody has said otherwise.
 */
export function withCamera(d: Draft): Draft {
  const timed = d.photographs
    .filter((p) => p.taken?.date)
    .sort((a, b) => `${a.taken!.date}T${a.taken!.time ?? ''}`.localeCompare(`${b.taken!.date}T${b.taken!.time ?? ''}`));
  const out = { ...d };
  if (d.foundFrom !== 'given' && timed[0]?.taken) {
    out.found = { ...timed[0].taken };
    out.foundFrom = 'camera';
  }
  const placed = timed.find((p) => p.place) ?? d.photographs.find((p) => p.place);
  if ((d.placeSaid === 'no' || d.placeSaid === 'camera') && placed?.place) {
    out.place = { ...placed.place };
    out.placeSaid = 'camera';
  }
  return out;
}

/** Something is worth keeping: more than the day that every draft begins with. */
export function isBegun(d: Draft): boolean {
  // Of a record that is changed: something is said of it, or a photograph is to come to it.
  if (d.was) return d.coming > 0 || d.photographs.some((p) => !p.kept) || renamedIn(d).length > 0 || Object.keys(saidIn(d)).length > 0;
  const empty = emptyDraft(d.id, d.found);
  return (Object.keys(empty) as (keyof Draft)[]).some(
    (k) => k !== 'found' && k !== 'foundFrom' && JSON.stringify(d[k]) !== JSON.stringify(empty[k]),
  );
}

/** What keeps text by key: localStorage, or a stand-in in tests. */
export type Keep = Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>;

const keyOf = (person: string, record: string) => `trug.draft.${person}.${record}`;

/** saveDraft keeps a draft; false when the device has no room or forbids it. */
export function saveDraft(keep: Keep, person: string, record: string, d: Draft): boolean {
  try {
    keep.setItem(keyOf(person, record), JSON.stringify(d));
    return true;
  } catch {
    return false;
  }
}

/** loadDraft returns the draft of a record, 'new' for the one being made; null when there is none. */
export function loadDraft(keep: Keep, person: string, record: string): Draft | null {
  try {
    const text = keep.getItem(keyOf(person, record));
    if (text === null) return null;
    const read: unknown = JSON.parse(text);
    if (typeof read !== 'object' || read === null) return null;
    const d = read as Partial<Draft>;
    if (typeof d.id !== 'string' || typeof d.found !== 'object' || !Array.isArray(d.photographs)) return null;
    // An older draft may lack what was added since.
    return { ...emptyDraft(d.id, d.found as When), ...d };
  } catch {
    return null;
  }
}

/** dropDraft forgets a draft that the server has. */
export function dropDraft(keep: Keep, person: string, record: string): void {
  try {
    keep.removeItem(keyOf(person, record));
  } catch {
    // Where nothing can be kept there is nothing to forget.
  }
}
