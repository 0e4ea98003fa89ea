import { describe, expect, it } from 'vitest';
import type { LonLat } from '../api/desk';
import { Flat } from '../parts/map';
import { boxAround, closedRings, hectaresOf, hectaresWords, lengthOf, nearestEdge, opened, placeFor } from './line';

// A square of a hundredth of a degree on the equator. On a sphere of
// 6 371 008.8 m a degree there is 111 195.08 m both ways, so it holds
// 1111.9508² m² = 123.6435 ha.
const flat = new Flat({ west: -0.1, east: 0.1, south: -0.1, north: 0.1 });
const square: LonLat[] = [[0, 0], [0.01, 0], [0.01, 0.01], [0, 0.01]];
const hole: LonLat[] = [[0.004, 0.004], [0.006, 0.004], [0.006, 0.006], [0.004, 0.006]];

describe('hectaresOf', () => {
  it('measures a square', () => expect(hectaresOf([square], flat)).toBeCloseTo(123.6435, 2));
  it('takes a hole out, whichever way it runs', () => {
    expect(hectaresOf([square, hole], flat)).toBeCloseTo(123.6435 * 0.96, 2);
    expect(hectaresOf([hole.toReversed(), square], flat)).toBeCloseTo(123.6435 * 0.96, 2);
  });
  it('adds a part beside it', () => {
    const beside = square.map(([x, y]): LonLat => [x + 0.02, y]);
    expect(hectaresOf([square, beside], flat)).toBeCloseTo(247.287, 2);
  });
  it('has nothing for two corners', () => expect(hectaresOf([square.slice(0, 2)], flat)).toBe(0));
});

it('measures a line: three sides of the square', () => expect(lengthOf(square, flat)).toBeCloseTo(3 * 1111.95, 0));

describe('placeFor', () => {
  it('goes into the nearest edge of a closed ring, the last one too', () => {
    expect(placeFor(square, [0.005, -0.001], true, flat)).toBe(1);
    expect(placeFor(square, [0.011, 0.005], true, flat)).toBe(2);
    expect(placeFor(square, [-0.001, 0.005], true, flat)).toBe(4);
  });
  it('goes to the end of an open line', () => {
    expect(placeFor(square, [0.005, -0.001], false, flat)).toBe(4);
  });
  it('bears corners that lie on one another', () => expect(nearestEdge([[0, 0], [0, 0], [0.01, 0]], [0.005, 0], flat)).toBe(1));
});

it('opens and closes rings without losing a corner', () => {
  expect(opened([...square, square[0]!])).toEqual(square);
  expect(opened(square)).toEqual(square);
  expect(closedRings([square, []])).toEqual([[...square, square[0]]]);
  expect(opened([[1, 2]])).toEqual([[1, 2]]);
});

it('puts a box with a margin round what is drawn', () => {
  expect(boxAround([])).toBeNull();
  const b = boxAround([square])!;
  expect([b.west, b.east]).toEqual([expect.closeTo(-0.002, 9), expect.closeTo(0.012, 9)]);
  const dot = boxAround([[[5, 5]]])!;
  expect(dot.east).toBeGreaterThan(dot.west);
});

it.each([[0.4321, '0.43 ha'], [3.04, '3 ha'], [12.34, '12.3 ha'], [140.4, '140 ha'], [0, '0 ha']])('%d hectares are %s', (ha, words) => expect(hectaresWords(ha)).toBe(words));
