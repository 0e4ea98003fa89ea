import { expect, test, vi } from 'vitest';
import { daySince, midnightsAfter } from './along';

const at = (text: string) => new Date(text);

test('the day goes on by as many days as have gone by on the phone, whatever its clock says', () => {
  const since = (then: string, now: string) => daySince('2026-10-10', 'Europe/Berlin', at(then), at(now));
  expect(since('2026-10-10T08:00:00Z', '2026-10-10T20:00:00Z')).toBe('2026-10-10');
  expect(since('2026-10-10T08:00:00Z', '2026-10-10T22:30:00Z')).toBe('2026-10-11'); // midnight in the season's zone
  // A clock that stands in 2019, on both days.
  expect(since('2019-01-01T08:00:00Z', '2019-01-03T08:00:00Z')).toBe('2026-10-12');
  // Set back meanwhile: the day never goes back.
  expect(since('2026-10-10T08:00:00Z', '2019-01-03T08:00:00Z')).toBe('2026-10-10');
  expect(daySince('2026-10-31', 'Europe/Berlin', at('2026-10-31T12:00:00Z'), at('2026-11-01T12:00:00Z'))).toBe('2026-11-01');
});

test('the days kept ahead say the same as the table of time zones, over a change of clocks too', () => {
  for (const [zone, from] of [['Europe/Berlin', '2026-10-20T21:59:59Z'], ['Europe/Berlin', '2026-03-25T12:00:00Z'], ['Australia/Lord_Howe', '2026-03-30T01:00:00Z'], ['America/St_Johns', '2026-10-28T00:00:00Z'], ['UTC', '2026-10-10T00:00:00Z']] as const) {
    const then = at(from);
    const midnights = midnightsAfter(then, zone);
    expect(midnights.length).toBe(30);
    for (let hours = -40; hours < 33 * 24; hours += 1.37) {
      const now = new Date(then.getTime() + hours * 3_600_000);
      expect(daySince('2026-10-10', zone, then, now, midnights), `${zone} ${now.toISOString()}`).toBe(daySince('2026-10-10', zone, then, now));
    }
    for (const m of midnights) for (const d of [-1, 0]) expect(daySince('2026-10-10', zone, then, new Date(m + d), midnights)).toBe(daySince('2026-10-10', zone, then, new Date(m + d)));
  }
});

test('what was asked for by somebody who has left meanwhile is not kept', async () => {
  vi.stubGlobal('indexedDB', {});
  const kept: string[] = [];
  vi.doMock('./keep', () => ({ keepHeld: async (h: { person: string }) => void kept.push(h.person), keepNames: async () => void kept.push('names') }));
  vi.resetModules();
  const anew = await import('./along');
  let isIn = true;
  let leaves = '/api/field';
  vi.stubGlobal('fetch', async (path: string) => {
    if (path === leaves) isIn = false;
    return Response.json(path === '/api/field/names' ? [] : { season: { code: 'S26', zone: 'UTC' } });
  });
  await anew.takeAlong('p', () => isIn);
  expect(kept).toEqual([]);
  [isIn, leaves] = [true, ''];
  await anew.takeAlong('p', () => isIn);
  expect(kept).toEqual(['p', 'names']);
  vi.doUnmock('./keep');
  vi.unstubAllGlobals();
});
