import { describe, expect, it } from 'vitest';
import { distanceWords, finest, Flat, roundBar, sightOf, wholeOf, zoomed } from './map';

describe('Flat', () => {
  // Length of one degree on the WGS 84 ellipsoid at 45 degrees, as printed in
  // tables: latitude 111 132 m, longitude 78 847 m (from memory). A sphere is
  // within half a per cent of it.
  const box = { west: 10, east: 11, south: 44.5, north: 45.5 };
  const flat = new Flat(box);
  it('is as wide and high as the printed tables say', () => {
    expect(Math.abs(flat.height / 111132 - 1)).toBeLessThan(0.005);
    expect(Math.abs(flat.width / 78847 - 1)).toBeLessThan(0.005);
  });
  it('goes there and back', () => {
    for (let i = 0; i < 200; i++) {
      const lon = box.west + ((i * 7919) % 997) / 997;
      const lat = box.south + ((i * 104729) % 991) / 991;
      const back = flat.from(flat.to(lon, lat));
      expect(back.lon).toBeCloseTo(lon, 9);
      expect(back.lat).toBeCloseTo(lat, 9);
    }
  });
  it('puts the north-west corner at nought', () => {
    expect(flat.to(10, 45.5)).toEqual({ x: 0, y: 0 });
    expect(flat.path([[10, 45.5]], true)).toBe('M0.0 0.0Z');
    expect(flat.path([])).toBe('');
  });
});

describe('zoomed', () => {
  const flat = new Flat({ west: 10, east: 10.2, south: 48, north: 48.1 });
  it('keeps the spot under the finger where it is', () => {
    const before = wholeOf(flat, 800, 400);
    const about = { x: 120, y: -40 };
    const after = zoomed(before, 2, about, 1e6);
    expect(after.x + about.x * after.metresPerPixel).toBeCloseTo(before.x + about.x * before.metresPerPixel, 6);
    expect(after.y + about.y * after.metresPerPixel).toBeCloseTo(before.y + about.y * before.metresPerPixel, 6);
  });
  it('goes neither nearer nor farther than it may', () => {
    const whole = wholeOf(flat, 800, 400);
    expect(zoomed(whole, 1e9, { x: 0, y: 0 }, 100).metresPerPixel).toBe(finest);
    expect(zoomed(whole, 1e-9, { x: 0, y: 0 }, 100).metresPerPixel).toBe(100);
  });
});

describe('roundBar', () => {
  it('is 1, 2 or 5 times a power of ten, at most what fits, more than 40 % of it', () => {
    for (let most = 0.3; most < 1e6; most *= 1.37) {
      const bar = roundBar(most);
      expect(bar).toBeLessThanOrEqual(most * (1 + 1e-12));
      expect(bar / most).toBeGreaterThan(0.39);
      expect(['1', '2', '5']).toContain(bar.toExponential().charAt(0));
    }
  });
  it('writes distances', () => {
    expect([0.5, 5, 25, 1000, 2500].map(distanceWords)).toEqual(['0.5\u00a0m', '5\u00a0m', '25\u00a0m', '1\u00a0km', '2.5\u00a0km']);
  });
});

it('shows a part of the map whole, in its middle', () => {
  const flat = new Flat({ west: 10, east: 11, south: 44.5, north: 45.5 });
  const part = { west: 10.2, east: 10.3, south: 45, north: 45.2 };
  const sight = sightOf(flat, part, 400, 300);
  const middle = flat.from(sight);
  expect(middle.lon).toBeCloseTo(10.25, 9);
  expect(middle.lat).toBeCloseTo(45.1, 9);
  const corner = flat.to(part.west, part.north);
  expect(Math.abs(corner.x - sight.x) / sight.metresPerPixel).toBeLessThanOrEqual(200);
  expect(Math.abs(corner.y - sight.y) / sight.metresPerPixel).toBeCloseTo(150, 6);
});
