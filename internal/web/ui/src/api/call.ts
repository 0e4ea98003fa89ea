/** Talking to the server: one wrapper, so that every refusal reads alike. */
import { t } from '../words';
import { told } from '../words/said';

/** A fault at one field of a form. */
export interface Fault {
  field: string;
  says: string;
}

/** Refused is what the server, or the lack of one, answered instead of a result. */
export class Refused extends Error {
  constructor(
    /** HTTP status; 0 when the server could not be reached. */
    readonly status: number,
    /** A sentence for people. */
    readonly says: string,
    readonly field = '',
    readonly faults: Fault[] = [],
  ) {
    super(says);
    this.name = 'Refused';
  }

  /** outOfReach is set when the server could not be reached at all. */
  get outOfReach(): boolean {
    return this.status === 0;
  }

  /** at returns what is wrong with a field, or ''. */
  at(field: string): string {
    return this.faults.find((f) => f.field === field)?.says ?? (this.field === field ? this.says : '');
  }
}

/** Options of a call. */
export interface CallOptions {
  signal?: AbortSignal;
  /** How often to try when the network fails; every call to this server may be repeated. */
  tries?: number;
}

const waits = [400, 1500, 4000];
const outOfReach = t('The server cannot be reached. Nothing is lost here; try again when you are in reach.');

const pause = (ms: number) => new Promise<void>((done) => setTimeout(done, ms));

/** readProblem turns an RFC 9457 answer into a Refused. */
export function readProblem(status: number, body: unknown): Refused {
  const problem = (typeof body === 'object' && body !== null ? told(body) : {}) as Record<string, unknown>;
  const text = (key: string) => (typeof problem[key] === 'string' ? (problem[key] as string) : '');
  const says = text('says') || text('detail') || fallback(status);
  const faults = Array.isArray(problem.faults)
    ? problem.faults.filter(
        (f): f is Fault => typeof f === 'object' && f !== null && typeof f.field === 'string' && typeof f.says === 'string',
      )
    : [];
  return new Refused(status, says, text('field'), faults);
}

function fallback(status: number): string {
  switch (status) {
    case 401:
      return t('You have not come in, or your way in has ended. Open your link again, or ask the coordinator for a new one.');
    case 403:
      return t('This is not open to you. Ask the coordinator if it should be.');
    case 404:
      return t('There is nothing at this address. It may have been taken out, or the address is mistyped.');
    case 413:
      return t('That is too large to be handed in.');
    default:
      return t('The server could not do this ({status}). Try again in a moment.', { status });
  }
}

async function send(method: string, path: string, init: RequestInit, options: CallOptions): Promise<Response> {
  const tries = options.tries ?? 3;
  for (let n = 1; ; n++) {
    try {
      const answer = await fetch(`/api${path}`, { ...init, method, signal: options.signal, credentials: 'same-origin' });
      if (answer.status !== 503 || n >= tries) return answer;
    } catch (fault) {
      if (options.signal?.aborted) throw fault;
      if (n >= tries) throw new Refused(0, outOfReach);
    }
    await pause(waits[Math.min(n - 1, waits.length - 1)] ?? 0);
  }
}

async function answerOf<T>(answer: Response): Promise<T> {
  const text = await answer.text();
  let body: unknown;
  try {
    body = text === '' ? undefined : JSON.parse(text);
  } catch {
    if (answer.ok) throw new Refused(answer.status, fallback(500));
  }
  if (!answer.ok) throw readProblem(answer.status, body);
  return told(body) as T;
}

/** get asks for something. `path` is what follows /api. */
export async function get<T>(path: string, options: CallOptions = {}): Promise<T> {
  return answerOf<T>(await send('GET', path, { headers: { Accept: 'application/json' } }, options));
}

/** put and post send JSON. Both are repeated when the network fails. */
export async function put<T>(path: string, body: unknown, options: CallOptions = {}): Promise<T> {
  return answerOf<T>(await send('PUT', path, asJSON(body), options));
}

export async function post<T>(path: string, body?: unknown, options: CallOptions = {}): Promise<T> {
  return answerOf<T>(await send('POST', path, asJSON(body ?? {}), options));
}

/** postBytes hands in raw bytes: a photograph, a checklist. */
export async function postBytes<T>(path: string, bytes: Blob | string, type = 'application/octet-stream', options: CallOptions = {}): Promise<T> {
  return answerOf<T>(await send('POST', path, { body: bytes, headers: { 'Content-Type': type } }, options));
}

function asJSON(body: unknown): RequestInit {
  return { body: JSON.stringify(body), headers: { 'Content-Type': 'application/json', Accept: 'application/json' } };
}

/** photograph is the address of a photograph: thumb is 400 px, screen 1600 px wide. */
export function photograph(id: string, size: 'thumb' | 'screen' | 'original', again = 0): string {
  const address = `/api/photographs/${encodeURIComponent(id)}/${size}`;
  return again > 0 ? `${address}?again=${again}` : address;
}

/**
 * pictureOf returns the address of a view's picture. After a crop it is another
 * one: a page that is open may show a picture again without asking for it.
 */
export function pictureOf(view: { photograph: string; cropped?: boolean; fullWidth: number; fullHeight: number }, size: 'thumb' | 'screen', again = 0): string {
  const part = view.cropped ? `${view.fullWidth}x${view.fullHeight}` : '';
  const address = photograph(view.photograph, size, again);
  return part === '' ? address : `${address}${again > 0 ? '&' : '?'}part=${part}`;
}

/** refusalOf makes a Refused of whatever was thrown. */
export function refusalOf(thrown: unknown): Refused {
  if (thrown instanceof Refused) return thrown;
  return new Refused(500, t('Something went wrong in this page. Load it again; what you entered is kept.'));
}
