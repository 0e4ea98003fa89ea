/** What this phone keeps out of reach: records on their way, and what it took along of the season. */
import type { HeldKey, HeldName, HeldRecord, HeldSeason } from '../api/field';
import type { Draft } from '../recorder/draft';
import type { ShownSeason, ViewKind } from '../api/types';
import { t } from '../words';
import { told } from '../words/said';
import { act, change, type Database } from './database';
import { digest } from './sha256';

/** A photograph of a record that waits; its bytes lie with the files that wait (recorder/waiting.ts). */
export interface PhoneOriginal {
  /** Identifier of the waiting file. */
  id: string;
  /** SHA-256 in hexadecimal. */
  hash: string;
  kind: ViewKind;
  name: string;
  /** Identifier of the photograph as which it was handed in already, if it was. */
  handed?: string;
  size: number;
  /** Where the server takes its pieces; '' before it was asked. */
  upload: string;
  /** Set when all of it has arrived. */
  arrived: boolean;
}

/** A record that the server does not have yet, or what was changed of one that it has. */
export interface PhoneRecord {
  id: string;
  /** Whose it is, and of which season: only their session sends it. */
  person: string;
  personName: string;
  season: string;
  phone: string;
  number: number;
  made: string;
  draft: Draft;
  originals: PhoneOriginal[];
  /** waits: to be sent; refused: something needs another look. */
  state: 'waits' | 'refused';
  says: string;
}

/** The season as it was taken along, and when. What the start can do without lies apart: the ground, and the key's tables. */
export interface Held {
  at: string;
  /** When the season's next days began, by this phone's clock in milliseconds since 1970: so the day is known without a table of time zones. Left out by an older app. */
  midnights?: number[];
  person: string;
  season: Omit<HeldSeason, 'key'>;
}

/** How many records that were sent are remembered, so that a draft that outlived its record is known. */
const remembered = 200;

/** Keeper is what the sender and the screens need of the phone's store. */
export interface Keeper {
  records: () => Promise<PhoneRecord[]>;
  /** Notes how far a record is with being sent, unless it was said anew meanwhile. */
  note: (r: PhoneRecord) => Promise<void>;
  /** Drops a record that was sent; false when it was said anew meanwhile, and stays. */
  drop: (r: PhoneRecord) => Promise<boolean>;
  tell: (t: Told) => Promise<void>;
}

const database: Database = { name: 'trug-field', stores: { records: {}, held: {} } };
const work = <T>(store: 'records' | 'held', mode: IDBTransactionMode, does: (s: IDBObjectStore) => IDBRequest<T>) => act(database, store, mode, does);
/** heldAt returns one of the things that are kept once. */
const heldAt = <T>(key: string) => work('held', 'readonly', (s) => s.get(key) as IDBRequest<T | undefined>);
const holdAt = async (key: string, value: unknown) => void (await work('held', 'readwrite', (s) => s.put(value, key)));
const dropAt = async (key: string) => void (await work('held', 'readwrite', (s) => s.delete(key)));
const changeAt = <T>(key: string, becomes: (before: T | undefined) => T | undefined) => change(database, 'held', key, becomes);

/** The phone's store. Its promises fail where the browser keeps nothing. */
export const onPhone: Keeper = {
  records: () => work<PhoneRecord[]>('records', 'readonly', (s) => s.getAll() as IDBRequest<PhoneRecord[]>),
  note: async (r) => void (await change<PhoneRecord>(database, 'records', r.id, (now) => (now?.number === r.number ? r : undefined))),
  drop: async (r) => {
    await remember(r.id);
    return await act(database, 'records', 'readwrite', (s) => {
      const out = { result: false };
      const asked = s.get(r.id) as IDBRequest<PhoneRecord | undefined>;
      asked.onsuccess = () => {
        out.result = asked.result === undefined || asked.result.number === r.number;
        if (out.result) s.delete(r.id);
      };
      return out;
    });
  },
  tell: (t) => tell(t),
};

/** putRecord keeps a record on the phone, in place of what was said of it before. */
export async function putRecord(r: PhoneRecord): Promise<void> {
  await work('records', 'readwrite', (s) => s.put(r, r.id));
}

/** waitingOf returns what waits of a record; null when nothing does. */
export async function waitingOf(id: string): Promise<PhoneRecord | null> {
  return (await work('records', 'readonly', (s) => s.get(id) as IDBRequest<PhoneRecord | undefined>).catch(() => undefined)) ?? null;
}

/** remember notes that the server has a record, before its draft and its files are forgotten here. */
export async function remember(id: string): Promise<void> {
  await changeAt<string[]>('sent', (sent = []) => [...sent.filter((x) => x !== id), id].slice(-remembered));
}

/** Told is what a recorder is to be told of a record that was sent: values that somebody had changed meanwhile. */
export interface Told {
  record: string;
  number: string;
  fields: string[];
}

/** tell notes what is to be told, until it is read. */
export async function tell(t: Told): Promise<void> {
  await changeAt<Told[]>('told', (told = []) => [...told.filter((x) => x.record !== t.record), t]);
}

/** toldHere lists what is to be told. */
export async function toldHere(): Promise<Told[]> {
  return (await heldAt<Told[]>('told').catch(() => undefined)) ?? [];
}

/** heard forgets what has been read. */
export async function heard(): Promise<void> {
  await dropAt('told').catch(() => undefined);
}

/** takeBack takes a record that waits out of the store, because its form has it again. */
export async function takeBack(id: string): Promise<void> {
  await work('records', 'readwrite', (s) => s.delete(id));
}

/** leftTheForm tells whether a record waits here or was sent from here: a draft of it is a remnant. */
export async function leftTheForm(id: string): Promise<boolean> {
  try {
    const sent = (await heldAt<string[]>('sent')) ?? [];
    return sent.includes(id) || (await onPhone.records()).some((r) => r.id === id);
  } catch {
    return false;
  }
}

/** A field code that was taken out of reach: it is exchanged at the first signal. */
export interface KeptCode {
  code: string;
  name: string;
  /** Who its records belong to until then: an identifier that this phone made, and by which the server knows that it asks again. */
  person: string;
  season: string;
  /** Why the server did not take it, in a sentence; '' while it was not asked. */
  says: string;
}

/** keepCode keeps a field code. Fails where the browser keeps nothing. */
export async function keepCode(c: KeptCode): Promise<void> {
  await holdAt('code', c);
}

/** keptCode returns the field code that waits; null when none does. */
export async function keptCode(): Promise<KeptCode | null> {
  return (await heldAt<KeptCode>('code').catch(() => undefined)) ?? null;
}

/** dropCode forgets it: its person has come in. */
export async function dropCode(): Promise<void> {
  await dropAt('code');
}

/** This phone's taking of a field code. */
export interface Taking {
  code: string;
  name: string;
  /** By which the server knows that the phone asks again. */
  id: string;
  /** When its person came in, in milliseconds since 1970; left out while no answer has come. */
  came?: number;
}
let taking: Taking | undefined; // where the browser keeps nothing, as long as the page is open

/**
 * takingOf returns the identifier of this phone's taking of a code under a name: the
 * same until its person has come in, so that the server makes one person of it
 * however often it is asked.
 */
export async function takingOf(code: string, name: string, fresh: string): Promise<string> {
  const mine = (before: Taking | undefined) => (before?.came === undefined && before?.code === code && before.name === name ? before : { code, name, id: fresh });
  taking = (await changeAt<Taking>('taking', (before) => mine(before ?? taking)).catch(() => undefined)) ?? mine(taking);
  return taking.id;
}

/** keepTaking notes that the person of a taking has come in. */
export async function keepTaking(t: Taking): Promise<void> {
  taking = t;
  await holdAt('taking', t).catch(() => undefined);
}

/** takingHere returns the taking whose person has come in here not long ago; null when there is none. */
export async function takingHere(): Promise<(Taking & { came: number }) | null> {
  const here = (await heldAt<Taking>('taking').catch(() => undefined)) ?? null;
  return here?.came === undefined ? null : { ...here, came: here.came };
}

/** dropTaking forgets it: its person left, or the browser has kept by now that they are in. */
export async function dropTaking(): Promise<void> {
  taking = undefined;
  await dropAt('taking').catch(() => undefined);
}

/** keepHeld keeps what was taken along, all of it or nothing. */
export async function keepHeld(h: Held, ground: unknown, key: HeldKey): Promise<void> {
  await act(database, 'held', 'readwrite', (s) => {
    s.put(ground, 'ground');
    s.put(key, 'key');
    return s.put(h, 'season');
  }).catch(() => undefined);
}

/** heldGround returns the map's ground as it was taken along; null where none was. */
export async function heldGround(): Promise<unknown> {
  return (await heldAt<unknown>('ground').catch(() => undefined)) ?? null;
}

/** heldKey returns the tables of the key as they were taken along; empty where none were. */
export async function heldKey(): Promise<HeldKey> {
  return (await heldAt<HeldKey>('key').catch(() => undefined)) ?? {};
}

/** The names of the season's checklist, as they were taken along. */
export interface HeldNames {
  season: string;
  names: HeldName[];
}

/** keepNames keeps the checklist. */
export async function keepNames(n: HeldNames): Promise<void> {
  await holdAt('names', n).catch(() => undefined);
}

/** heldNames returns the checklist of a season; none where none was taken along. */
export async function heldNames(season: string): Promise<HeldName[]> {
  const kept = await heldAt<HeldNames>('names').catch(() => undefined);
  return kept?.season === season ? kept.names : [];
}

/** held returns what was taken along; null when nothing was. */
export async function held(): Promise<Held | null> {
  return told((await heldAt<Held>('season').catch(() => undefined)) ?? null);
}

/** heldRecord returns a record of a person's own as it was taken along, with the season's tables; null where it was not. */
export async function heldRecord(person: string, id: string): Promise<{ record: HeldRecord; key: HeldKey } | null> {
  const along = await held();
  const record = along?.person === person ? along.season.records?.find((r) => r.id === id) : undefined;
  return record ? { record, key: await heldKey() } : null;
}

/**
 * keepPublic keeps what anybody may know of the season, in place of what its
 * person took along, when they leave. The numbers to call stay. Records that
 * wait stay too.
 */
export async function keepPublic(season: ShownSeason): Promise<void> {
  const [before, ground] = await Promise.all([held(), heldGround()]);
  const numbers = before?.season.season.code === season.code ? { emergency: before.season.emergency, poisonCentre: before.season.poisonCentre } : {};
  await keepHeld({ at: new Date().toISOString(), person: '', season: { season, sites: [], forays: [], ...numbers } }, ground, {});
}

/** nextNumber counts this phone's messages; two pages at once get two numbers. */
export async function nextNumber(fresh: string): Promise<{ phone: string; number: number }> {
  const next = (before: { phone: string; number: number } | undefined) => ({ phone: before?.phone ?? fresh, number: (before?.number ?? 0) + 1 });
  return (await changeAt('phone', next))!;
}

/** askToStay asks the browser not to throw away what is kept; it may ask its user. */
export async function askToStay(): Promise<boolean> {
  try {
    return (await navigator.storage?.persist?.()) ?? false;
  } catch {
    return false;
  }
}

/** roomLeft says in a sentence that the phone is nearly full, '' while it is not or does not tell. */
export async function roomLeft(): Promise<string> {
  try {
    const { quota = 0, usage = 0 } = (await navigator.storage?.estimate?.()) ?? {};
    return fullWords(quota, usage);
  } catch {
    return '';
  }
}

/** fullWords tells when less is left than about ten finds of four photographs take. */
export function fullWords(quota: number, usage: number): string {
  const left = quota - usage;
  const mb = Math.max(0, Math.floor(left / 1_048_576));
  if (quota === 0 || left > 200 * 1_048_576) return '';
  return t('This phone has room for about {mb} MB more. Send what waits, or make room, before you go on.', { mb });
}

/** sha256 names a file by its content. */
export async function sha256(bytes: Blob): Promise<string> {
  return Array.from(await digest(await bytes.arrayBuffer()), (b) => b.toString(16).padStart(2, '0')).join('');
}
