/** Heads that a leader counted out of reach, until the server has them. */
import type { ComingForay, Heads } from '../api/foray';

/** A count as it is sent. */
export interface HeadCount {
  foray: string;
  /** Who is back; otherwise who set out. */
  back: boolean;
  people: number;
  /** When it was counted, by this phone. */
  at: string;
}

type Store = Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>;
const keyOf = (person: string) => `trug.heads.${person}`;

/** waitingHeads are the counts that wait on this phone, oldest first. */
export function waitingHeads(store: Store, person: string): HeadCount[] {
  try {
    const read: unknown = JSON.parse(store.getItem(keyOf(person)) ?? '[]');
    return Array.isArray(read) ? (read as HeadCount[]).filter((c) => typeof c.foray === 'string' && c.people >= 1) : [];
  } catch {
    return [];
  }
}

/** keepHeads keeps what waits; false where this phone keeps nothing. */
export function keepHeads(store: Store, person: string, waiting: readonly HeadCount[]): boolean {
  try {
    if (waiting.length === 0) store.removeItem(keyOf(person));
    else store.setItem(keyOf(person), JSON.stringify(waiting));
    return true;
  } catch {
    return false;
  }
}

/** counted is what stands for a foray: the server's counts with those that wait laid over them. */
export function counted(y: Pick<ComingForay, 'id' | 'heads'>, waiting: readonly HeadCount[]): Heads {
  const heads: Heads = { ...(y.heads ?? { away: 0 }) };
  for (const c of waiting.filter((w) => w.foray === y.id)) {
    const clock = new Date(c.at).toLocaleTimeString('en-GB', { hour: '2-digit', minute: '2-digit' });
    Object.assign(heads, c.back ? { back: c.people, backAt: clock } : { out: c.people, outAt: clock });
  }
  return { ...heads, away: Math.max(0, (heads.out ?? 0) - (heads.back ?? 0)) };
}

/** withoutThose is what still waits once some have been sent: what was counted meanwhile, here or on another page, waits on. */
export function withoutThose(waiting: readonly HeadCount[], done: readonly HeadCount[]): HeadCount[] {
  const key = (c: HeadCount) => `${c.foray} ${c.back} ${c.people} ${c.at}`;
  const gone = new Set(done.map(key));
  return waiting.filter((c) => !gone.has(key(c)));
}

/** sendHeads sends what waits, one after the other, and returns what need not wait any more and the forays as the server has them now. */
export async function sendHeads(
  waiting: readonly HeadCount[],
  send: (c: HeadCount) => Promise<ComingForay>,
  outOfReach: (thrown: unknown) => boolean,
): Promise<{ done: HeadCount[]; now: ComingForay[]; refused: unknown }> {
  const done: HeadCount[] = [];
  const now: ComingForay[] = [];
  let refused: unknown = null;
  for (const c of waiting) {
    try {
      now.push(await send(c));
    } catch (thrown) {
      if (outOfReach(thrown)) break;
      refused = thrown; // the server will never take it: it is told, and waits no more
    }
    done.push(c);
  }
  return { done, now, refused };
}
