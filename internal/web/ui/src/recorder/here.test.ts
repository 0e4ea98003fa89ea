import { expect, test } from 'vitest';
import { justTaken, placeOf } from './here';

test('a place is at least twice as unsure as the device says', () => {
  for (const accuracy of [0, 3, 4.9, 5, 17.2, 480]) {
    const place = placeOf({ latitude: 48.5, longitude: 10.1, accuracy });
    expect(place.uncertainty).toBeGreaterThanOrEqual(2 * accuracy);
    expect(place.uncertainty).toBeGreaterThanOrEqual(10);
    expect(place.source).toBe('phone');
  }
});

test('only what was taken just now was taken here', () => {
  expect(justTaken({ lastModified: 1_000_000 }, 1_030_000)).toBe(true);
  expect(justTaken({ lastModified: 1_000_000 }, 1_000_000 + 600_000)).toBe(false);
  expect(justTaken({ lastModified: 9_000_000 }, 1_000_000)).toBe(false); // a file of tomorrow says nothing
});
