/**
 * Checks on this device: what a photograph shows and what can be done better about it, the next question, the
 * description in words. The work is done in a worker by the same Go code that the server runs; where the browser
 * forbids that, every call fails with Blocked and the server is asked instead.
 */
import type { HeldKey } from '../api/field';
import type { GivenAnswer } from '../api/key';
import type { components } from '../api/schema';
import type { ViewKind } from '../api/types';
import { script } from '../parts/trusted';
import type { Asked } from './checks.worker';
import source from './checks.worker?worker&url';

export type Looked = components['schemas']['Looked'];
export type Advice = components['schemas']['Advice'];

/** What is known of a photograph besides its pixels. */
export interface Facts {
  /** Focal length as on 35 mm film, mm; left out: not known. */
  film35?: number;
  flash?: boolean;
}

/** What comes of a look: what is seen, what is advised, and how long it took. */
export interface CheckedView extends Looked {
  /** Milliseconds for decoding and for looking. */
  took: { decoding: number; looking: number };
}

/** What a frame of a preview shows of the card: its outline in the frame's pixels, or why none was found. */
export interface Glance {
  width: number;
  height: number;
  card?: { edge: { x: number; y: number }[]; tags: number; tiltDeg: number };
  says?: string;
}

export type Spot = components['schemas']['Spot'];

/** What is known of a find while its finder still stands before it. */
export interface SpotAsked {
  answers: GivenAnswer[];
  views: ViewKind[];
  /** What may be done to it where it stands. */
  may: string[];
}

/** Blocked says that this browser runs no such program: the server checks instead. */
export class Blocked extends Error {}
/** Unreadable says that the file is no picture that this browser can show. */
export class Unreadable extends Error {}

interface Waiting {
  done: (got: { answer?: unknown; decoded?: number; looked?: number }) => void;
  failed: (why: Error) => void;
}
interface Said {
  ready?: boolean;
  /** The program is no more, as where the phone has no memory for a photograph. */
  ended?: boolean;
  blocked?: string;
  id?: number;
  answer?: unknown;
  wrong?: string;
  decoded?: number;
  looked?: number;
}

let worker: Worker | null | undefined; // null: blocked
let count = 0;
const waiting = new Map<number, Waiting>();

function block(why: string): void {
  worker?.terminate();
  worker = null;
  for (const w of waiting.values()) w.failed(new Blocked(why));
  waiting.clear();
}

/** After so many ends the phone is taken to be too small for it: our own judgement. */
const mostEnds = 3;
let ends = 0;

/** anew lets go of a program that has ended: what it was asked comes to nothing, what is asked next a new one answers. */
function anew(): void {
  if (++ends >= mostEnds) return block('the program ends again and again');
  worker?.terminate();
  worker = undefined;
  for (const w of waiting.values()) w.failed(new Unreadable('the program ended'));
  waiting.clear();
}

function working(): Worker {
  if (worker === null || typeof WebAssembly === 'undefined' || typeof Worker === 'undefined') throw new Blocked('this browser runs no such program');
  if (worker) return worker;
  try {
    worker = new Worker(script(source) as string, { type: 'module', name: 'checks' });
  } catch (why) {
    worker = null;
    throw new Blocked(String(why));
  }
  worker.onerror = (e) => block(e.message || 'the worker could not be loaded');
  worker.onmessage = (e: MessageEvent<Said>) => {
    const said = e.data;
    if (said.blocked !== undefined) return block(said.blocked);
    if (said.ended) return anew();
    const w = said.id === undefined ? undefined : waiting.get(said.id);
    if (!w) return;
    waiting.delete(said.id!);
    if (said.wrong !== undefined) w.failed(new Unreadable(said.wrong));
    else w.done(said);
  };
  return worker;
}

/** expect starts the program before it is asked for anything: it takes seconds, in which people get their cameras out. */
export function expect(): void {
  try {
    working();
  } catch {
    // The first look says that it is blocked.
  }
}

function ask(call: Asked['call'], told: Asked['told'], blob?: Blob | ImageBitmap): Promise<{ answer?: unknown; decoded?: number; looked?: number }> {
  return new Promise((done, failed) => {
    try {
      const on = working();
      const id = ++count;
      waiting.set(id, { done, failed });
      on.postMessage({ id, call, told, blob } satisfies Asked, blob instanceof ImageBitmap ? [blob] : []);
    } catch (why) {
      failed(why as Error);
    }
  });
}

/** checkView looks at a photograph as a view of a kind. Fails with Blocked or Unreadable. */
export async function checkView(blob: Blob, kind: string, facts: Facts = {}): Promise<CheckedView> {
  if (blob.size === 0) throw new Unreadable('the file is empty');
  const got = await ask('look', { kind, film35: facts.film35 ?? 0, flash: facts.flash ?? false }, blob);
  return { ...(got.answer as Looked), took: { decoding: got.decoded ?? 0, looking: got.looked ?? 0 } };
}

/** glance looks for the card in a frame of a preview, which it takes over. Fails with Blocked. */
export async function glance(frame: ImageBitmap): Promise<Glance> {
  return (await ask('glance', {}, frame)).answer as Glance;
}

/** onTheSpot tells what is still worth doing, by the season's own tables; views and what may be done to the find bound it. Fails with Blocked. */
export async function onTheSpot(asked: SpotAsked, season: HeldKey = {}): Promise<Spot> {
  return (await ask('question', { ...asked, season })).answer as Spot;
}
