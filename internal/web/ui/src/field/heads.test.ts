import { describe, expect, it } from 'vitest';
import type { ComingForay } from '../api/foray';
import { counted, keepHeads, sendHeads, waitingHeads, withoutThose, type HeadCount } from './heads';

const count = (people: number, back = false, foray = 'f'): HeadCount => ({ foray, back, people, at: '2026-10-10T09:41:00Z' });
const store = () => {
  const kept = new Map<string, string>();
  return { getItem: (k: string) => kept.get(k) ?? null, setItem: (k: string, v: string) => void kept.set(k, v), removeItem: (k: string) => void kept.delete(k) };
};

describe('heads', () => {
  it('outlast a reload, each person’s by themselves', () => {
    const s = store();
    expect(keepHeads(s, 'a', [count(14)])).toBe(true);
    expect(waitingHeads(s, 'a')).toEqual([count(14)]);
    expect(waitingHeads(s, 'b')).toEqual([]);
    s.setItem('trug.heads.a', 'not JSON');
    expect(waitingHeads(s, 'a')).toEqual([]);
    expect(keepHeads({ ...s, setItem: () => { throw new Error('full'); } }, 'a', [count(1)])).toBe(false);
  });
  it('that wait stand over the server’s, and tell who is missing', () => {
    const heads = counted({ id: 'f', heads: { out: 14, outAt: '09:30', away: 14 } }, [count(9, true), count(3, true, 'another'), count(12, true)]);
    expect(heads).toMatchObject({ out: 14, outAt: '09:30', back: 12, away: 2 });
    expect(counted({ id: 'f' }, [])).toEqual({ away: 0 });
  });
  it('are sent in their order; out of reach the rest waits, and what is refused waits no more', async () => {
    const sent: number[] = [];
    const away = await sendHeads([count(14), count(12, true)], async (c) => {
      if (c.back) throw new Error('away');
      sent.push(c.people);
      return { id: c.foray } as ComingForay;
    }, () => true);
    expect(sent).toEqual([14]);
    expect(away).toMatchObject({ done: [count(14)], now: [{ id: 'f' }], refused: null });
    const no = await sendHeads([count(14)], async () => { throw new Error('no'); }, () => false);
    expect(no.done).toEqual([count(14)]);
    expect(no.refused).toBeInstanceOf(Error);
  });
  it('that were counted while others were sent wait on', () => {
    const sent = [count(14)];
    const now = [...sent, count(12, true)];
    expect(withoutThose(now, JSON.parse(JSON.stringify(sent)) as HeadCount[])).toEqual([count(12, true)]);
  });
});
