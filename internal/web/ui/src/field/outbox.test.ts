/** When what waits is sent, and what is said of it. The phone's store and the season are stand-ins. */
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { emptyDraft } from '../recorder/draft';
import type { PhoneRecord } from './keep';
import { outbox } from './outbox.svelte';

const phone = { records: [] as PhoneRecord[] };
vi.mock('./keep', async (real) => ({
  ...(await real<object>()),
  onPhone: { records: async () => [...phone.records], note: async () => undefined, tell: async () => undefined, drop: async (r: PhoneRecord) => { phone.records = phone.records.filter((x) => x.id !== r.id); return true; } },
  toldHere: async () => [],
  roomLeft: async () => '',
}));
vi.mock('../season.svelte', () => ({ season: { me: { id: 'me' }, now: { code: 'S26' }, away: false, takeAnew: () => undefined, load: async () => undefined } }));

const record = (id: string): PhoneRecord => ({
  id, person: 'me', personName: 'Wren', season: 'S26', phone: 'ph', number: 1, made: '2026-10-10T10:00:00Z', draft: emptyDraft(id, { date: '2026-10-10' }), originals: [], state: 'waits', says: '',
});
let answer: (() => Response) | null;
let asked: number[];
beforeEach(() => {
  vi.useFakeTimers();
  vi.stubGlobal('navigator', {});
  asked = [];
  vi.stubGlobal('fetch', async () => {
    asked.push(Date.now());
    if (!answer) throw new TypeError('cut');
    return answer();
  });
});
afterEach(() => {
  vi.unstubAllGlobals();
  vi.useRealTimers();
});
const taken = () => Response.json([{ state: 'taken', kept: [], missing: [], lost: [], faults: [], fieldNumber: 'S26-1' }]);

test('out of reach it is tried again after longer and longer, and what is said does not change with every try', async () => {
  answer = null;
  phone.records = [record('r')];
  await outbox.look();
  const heard = new Set<string>();
  const hear = setInterval(() => heard.add(outbox.sending ? 'being sent' : outbox.says), 250);
  await vi.advanceTimersByTimeAsync(10 * 60_000);
  clearInterval(hear);
  expect([...heard]).toEqual([expect.stringContaining('Out of reach')]);
  const gaps = asked.slice(1).map((t, i) => Math.round((t - asked[i]!) / 1000));
  expect([gaps.slice(0, 5), Math.max(...gaps)]).toEqual([[10, 20, 40, 60, 60], 60]);
  answer = taken;
  const before = outbox.arrived;
  await vi.advanceTimersByTimeAsync(60_000);
  expect([outbox.records.length, outbox.says, outbox.sending, outbox.arrived - before]).toEqual([0, '', false, 1]);
});

test('once something came through it is tried again soon', async () => {
  answer = null;
  phone.records = [record('r')];
  await outbox.look();
  await vi.advanceTimersByTimeAsync(3 * 60_000);
  let through = 0;
  answer = () => { answer = null; through = Date.now(); return Response.json([{ state: 'missing', kept: [], missing: [], lost: [], faults: [] }]); };
  await vi.advanceTimersByTimeAsync(2 * 60_000);
  expect(asked.filter((t) => t > through).map((t) => Math.round((t - through) / 1000))[0]).toBe(10);
  expect(outbox.says).toContain('Out of reach');
});

test('what another page has sent is noticed, and the Daybook reads anew', async () => {
  phone.records = [record('r')];
  await outbox.read();
  const before = outbox.arrived;
  phone.records = [];
  await outbox.read();
  await outbox.read();
  expect(outbox.arrived).toBe(before + 1);
});
