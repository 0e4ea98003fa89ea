import { expect, test } from 'vitest';
import { inGarden, metres, rememberGarden } from './garden';

const store = () => {
  const m = new Map<string, string>();
  return { getItem: (k: string) => m.get(k) ?? null, setItem: (k: string, v: string) => void m.set(k, v), removeItem: (k: string) => void m.delete(k) };
};
const home = { lat: 48.56, lon: -19.95, uncertainty: 10 };

test('a degree of latitude is as long as on the sphere of 6371 km', () => {
  expect(metres({ lat: 48, lon: 10 }, { lat: 49, lon: 10 })).toBeCloseTo(111_195, -1);
});

test('the next find in a garden is taken for one, a find elsewhere and somebody else’s are not', () => {
  const keep = store();
  expect(inGarden(keep, 'a', home)).toBe(false);
  rememberGarden(keep, 'a', home, true);
  expect(inGarden(keep, 'a', { ...home, lat: 48.5608 })).toBe(true); // 89 m away
  expect(inGarden(keep, 'a', { ...home, lat: 48.564 })).toBe(false);
  expect(inGarden(keep, 'b', home)).toBe(false);
  expect(inGarden(keep, 'a', null)).toBe(false);
});

test('what is said to be no garden after all is forgotten; a place known to kilometres is none', () => {
  const keep = store();
  rememberGarden(keep, 'a', home, true);
  rememberGarden(keep, 'a', { ...home, lat: 48.6 }, false);
  expect(inGarden(keep, 'a', home)).toBe(true);
  rememberGarden(keep, 'a', home, false);
  expect(inGarden(keep, 'a', home)).toBe(false);
  rememberGarden(keep, 'a', { ...home, uncertainty: 4000 }, true);
  expect(inGarden(keep, 'a', home)).toBe(false);
});

test('what is no list is as if there were none', () => {
  const keep = store();
  keep.setItem('trug.garden.a', 'garbled');
  expect(inGarden(keep, 'a', home)).toBe(false);
  rememberGarden(keep, 'a', home, true);
});
