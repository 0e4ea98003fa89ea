import { describe, expect, it } from 'vitest';
import { labelSpots, legend, middle, shadeFloors, shadeOf, sideWords, SHADES } from './squares';

describe('shades', () => {
  it('cover every count once, in rising order', () => {
    for (const most of [1, 2, 3, 5, 6, 7, 20, 99, 100, 12345]) {
      const floors = shadeFloors(most);
      expect(floors[0]).toBe(1);
      expect(floors.every((f, i) => i === 0 || f > (floors[i - 1] ?? 0))).toBe(true);
      expect(floors[floors.length - 1]).toBeLessThanOrEqual(most);
      let last = 0;
      for (let n = 1; n <= Math.min(most, 500); n++) {
        const s = shadeOf(n, floors);
        expect(s).toBeGreaterThanOrEqual(Math.max(1, last));
        expect(s).toBeLessThanOrEqual(SHADES);
        last = s;
      }
    }
  });
  it('leave an empty square as paper', () => expect(shadeOf(0, shadeFloors(9))).toBe(0));
  it('have nothing to say of an empty map', () => {
    expect(shadeFloors(0)).toEqual([]);
    expect(shadeFloors(NaN)).toEqual([]);
  });
  it('have a legend without gaps', () => {
    expect(legend(shadeFloors(100), 100).map((l) => l.words)).toEqual(['1 to 2', '3 to 4', '5 to 9', '10 to 21', '22 to 46', '47 to 100']);
    expect(legend(shadeFloors(3), 3).map((l) => l.words)).toEqual(['1', '2', '3']);
  });
});

it('says sides and the middle', () => {
  expect([100, 1000, 10000].map(sideWords)).toEqual(['100 m', '1 km', '10 km']);
  expect(
    middle([
      [0, 0],
      [2, 0],
      [2, 4],
      [0, 4],
      [0, 0],
    ]),
  ).toEqual([1, 2]);
});

describe('names of sites', () => {
  const site = { x: 300, y: 300, r: 30, width: 120 };
  const room = { width: 600, height: 600 };
  it('stand above where nothing is in the way', () => {
    expect(labelSpots([site], [], room)).toEqual([{ x: 300, y: 263, anchor: 'middle' }]);
  });
  it('go below, then aside, when squares are in the way', () => {
    const above = { x: 300, y: 250, side: 40 };
    const below = { x: 300, y: 350, side: 40 };
    expect(labelSpots([site], [above], room)[0]).toMatchObject({ anchor: 'middle', y: 351 });
    expect(labelSpots([site], [above, below], room)[0]?.anchor).toBe('start');
  });
  it('do not cover one another', () => {
    const [first, second] = labelSpots([site, { ...site, x: 320 }], [], room);
    expect(second).not.toMatchObject({ y: first!.y });
  });
  it('stay on the map', () => {
    expect(labelSpots([{ ...site, x: 580, y: 20 }], [], room)[0]?.anchor).toBe('end');
  });
  it('are left out where no place is free', () => {
    const crowd = Array.from({ length: 14 }, () => site);
    const spots = labelSpots(crowd, [], room);
    expect(spots[0]).not.toBeNull();
    expect(spots.filter((s) => s === null).length).toBeGreaterThan(0);
  });
});
