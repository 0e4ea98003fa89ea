/** Sending what the phone kept: photographs in pieces by tus 1.0.0, then the record. Every step can be repeated. */
import type { MessageAnswer } from '../api/field';
import { editableOf, renamedIn, saidIn, type DraftPhotograph } from '../recorder/draft';
import type { Keeper, PhoneOriginal, PhoneRecord } from './keep';
import { digest } from './sha256';
import { t } from '../words';
import { told as inWords } from '../words/said';

/** A piece: small enough that a weak connection brings it through. */
export const pieceBytes = 256 * 1024;

/** Why sending stopped, and what to tell. */
export class Stopped extends Error {
  constructor(
    readonly why: 'out of reach' | 'not in' | 'later',
    readonly says: string,
  ) {
    super(says);
  }
}

/** What the sender needs of the world. */
export interface World {
  keep: Keeper;
  fetch: (path: string, init: RequestInit) => Promise<Response>;
  /** The bytes of a waiting file; undefined when they are gone. */
  bytes: (record: string, id: string) => Promise<Blob | undefined>;
  forget: (id: string) => Promise<void>;
  now: () => Date;
}

const tus = { 'Tus-Resumable': '1.0.0' };
const base64 = (text: string) => btoa(String.fromCharCode(...new TextEncoder().encode(text)));

async function ask(w: World, path: string, init: RequestInit): Promise<Response> {
  let answer: Response;
  try {
    answer = await w.fetch(path, { ...init, credentials: 'same-origin' });
  } catch {
    throw new Stopped('out of reach', t('Out of reach of the server. What is kept on this phone is sent later.'));
  }
  if (answer.status === 401) throw new Stopped('not in', t('Your way in has ended. Come in again: what is kept on this phone is sent then.'));
  if (answer.status >= 500 || answer.status === 429) throw new Stopped('later', t('The server is busy. What is kept on this phone is sent in a moment.'));
  return answer;
}

/** sendOriginal brings one photograph over, from where it was; why its bytes are refused, '' when they have come. */
async function sendOriginal(w: World, r: PhoneRecord, o: PhoneOriginal): Promise<string> {
  const bytes = await w.bytes(r.id, o.id);
  if (!bytes) return t('{name} is no longer on this phone: take it out, or photograph it again.', { name: o.name });
  for (let tries = 0; tries < 4; tries++) {
    if (o.upload === '') {
      const begun = await ask(w, '/api/field/uploads', { method: 'POST', headers: { ...tus, 'Upload-Length': String(bytes.size), 'Upload-Metadata': `filename ${base64(o.name)},sha256 ${base64(o.hash)}` } });
      if (begun.status !== 201) return await saysOf(begun);
      o.upload = begun.headers.get('Location') ?? '';
      await w.keep.note(r);
    }
    const told = await ask(w, o.upload, { method: 'HEAD', headers: tus });
    let at = Number(told.headers.get('Upload-Offset') ?? NaN);
    if (told.status !== 200 || !Number.isInteger(at)) {
      o.upload = ''; // thrown away there meanwhile: begun again
      continue;
    }
    let fine = true;
    while (at < bytes.size && fine) {
      const piece = bytes.slice(at, at + pieceBytes);
      const sum = await digest(await piece.arrayBuffer());
      const headers = { ...tus, 'Content-Type': 'application/offset+octet-stream', 'Upload-Offset': String(at), 'Upload-Checksum': `sha256 ${btoa(String.fromCharCode(...sum))}` };
      const answer = await ask(w, o.upload, { method: 'PATCH', headers, body: piece });
      fine = answer.status === 204;
      if (fine) at = Number(answer.headers.get('Upload-Offset'));
      else if (answer.status === 404 || answer.status === 410 || answer.status === 422) o.upload = '';
    }
    if (fine) {
      o.arrived = true;
      await w.keep.note(r);
      return '';
    }
  }
  throw new Stopped('later', t('A photograph did not come through whole. It is sent again in a moment.'));
}

async function saysOf(answer: Response): Promise<string> {
  const body = inWords((await answer.json().catch(() => ({}))) as { says?: string });
  return body.says ?? t('The server could not take this ({status}).', { status: answer.status });
}

/** thereOf lists the photographs of a record that lie at the server alone; those that lie here were handed in, some of them, as well. */
export function thereOf(r: PhoneRecord): DraftPhotograph[] {
  const here = new Set(r.originals.map((o) => o.handed));
  return r.draft.photographs.filter((p) => !here.has(p.id));
}

/** messageOf is what the server is told of a record. */
export function messageOf(r: PhoneRecord, sent: Date): Record<string, unknown> {
  const { outsideIsOK, dateIsOK } = editableOf(r.draft);
  // What lies here is told by its hash: should the server have lost it, it is sent again.
  const handed = thereOf(r).filter((p) => !p.kept).map((p) => ({ handed: p.id, kind: p.kind }));
  const kinds = renamedIn(r.draft);
  return {
    phone: r.phone, number: r.number, record: r.id, seen: r.draft.seen ?? 0, made: r.made, sent: sent.toISOString(), set: saidIn(r.draft),
    views: [...handed, ...r.originals.map((o) => ({ photograph: o.hash, kind: o.kind, fileName: o.name }))],
    ...(kinds.length > 0 ? { kinds } : {}),
    outsideIsOK: outsideIsOK ?? false, dateIsOK: dateIsOK ?? false,
  };
}

/**
 * sendRecord sends a record with its photographs: the record is told first, the
 * server names the photographs that it lacks, they are sent, and it is told once
 * more. What is on the phone is forgotten only when the server says that the
 * record and each photograph, by its hash, are durable there.
 */
export async function sendRecord(w: World, r: PhoneRecord): Promise<'sent' | 'refused'> {
  const refuse = async (says: string) => {
    await w.keep.note({ ...r, state: 'refused', says });
    return 'refused' as const;
  };
  for (let turn = 0; turn < 3; turn++) {
    const answer = await ask(w, '/api/field/messages', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify({ messages: [messageOf(r, w.now())] }) });
    if (!answer.ok) return refuse(await saysOf(answer));
    const [told] = inWords((await answer.json()) as MessageAnswer[]);
    if (told?.state === 'taken' && r.originals.every((o) => told.kept.includes(o.hash))) {
      if (told.lost.length > 0) await w.keep.tell({ record: r.id, number: told.fieldNumber ?? '', fields: told.lost.map((l) => l.field) });
      // What was said of it anew meanwhile stays, with all its photographs.
      if (await w.keep.drop(r)) for (const o of r.originals) await w.forget(o.id);
      return 'sent';
    }
    if (told?.state === 'refused') return refuse(told.faults.map((f) => f.says).join(' ') || told.says || t('Something needs another look.'));
    if (told?.state !== 'missing') throw new Stopped('later', told?.says ?? t('The server is busy. What is kept on this phone is sent in a moment.'));
    for (const o of r.originals) {
      o.arrived = !told.missing.includes(o.hash);
      if (o.arrived) continue;
      const says = await sendOriginal(w, r, o);
      if (says !== '') return refuse(says);
    }
    await w.keep.note(r);
  }
  throw new Stopped('later', t('The photographs of a record did not come through whole. They are sent again in a moment.'));
}

/** What is known of records that the server put off: how often, and from when on they are tried again. */
export type PutOff = Map<string, { times: number; from: number }>;

/** After how many records that are put off in a row the server itself is taken to be busy: our own judgement. */
const busyAfter = 3;
const [firstWait, longestWait] = [15_000, 15 * 60_000];

/**
 * sendAll sends what is this person's, of this season, in the order it was made.
 * What the server puts off holds up nothing behind it: it is tried again after a while,
 * each time a longer one. Where several in a row are put off the rest waits for
 * the next time, which begins with those that were not tried.
 */
export async function sendAll(w: World, person: string, season: string, off: PutOff = new Map()): Promise<number> {
  const now = w.now().getTime();
  const mine = (await w.keep.records()).filter((r) => r.person === person && r.season === season && r.state === 'waits' && (off.get(r.id)?.from ?? 0) <= now);
  let sent = 0;
  let inARow = 0;
  let stopped: Stopped | undefined;
  for (const r of mine.sort((a, b) => a.number - b.number)) {
    try {
      if ((await sendRecord(w, r)) === 'sent') sent++;
      off.delete(r.id);
      inARow = 0;
    } catch (thrown) {
      if (!(thrown instanceof Stopped) || thrown.why !== 'later') throw thrown;
      stopped ??= thrown;
      const times = (off.get(r.id)?.times ?? 0) + 1;
      off.set(r.id, { times, from: w.now().getTime() + Math.min(firstWait * 2 ** (times - 1), longestWait) });
      if (++inARow >= busyAfter) break;
    }
  }
  if (stopped) throw stopped;
  return sent;
}

/** nextTry is in how many milliseconds a record that waits can be tried again: 0 for at once, undefined when none waits. */
export function nextTry(waiting: readonly PhoneRecord[], off: PutOff, now: Date): number | undefined {
  const times = waiting.map((r) => Math.max(0, (off.get(r.id)?.from ?? 0) - now.getTime()));
  return times.length === 0 ? undefined : Math.min(...times);
}
