import { expect, test } from 'vitest';
import { daySince } from './along';

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
