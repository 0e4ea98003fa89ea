import { describe, expect, it } from 'vitest';
import { beside, byHand, togetherTold, withoutPoint, withPoint } from './placed';

const points = [{ x: 1, y: 2 }, { x: 3, y: 4 }];

describe('points placed by hand', () => {
  it('are as unsure as a pixel of the screen, and never less than by the loupe', () => {
    expect([0.1, 0.5, 1, 4].map(byHand)).toEqual([10, 2, 1.2, 1.2]);
  });
  it('make the others as unsure, since one figure is told of all', () => {
    expect(togetherTold({ points, placing: [0.4, 2], stroke: [], rim: [] })).toEqual({ points, placing: 2 });
    expect(togetherTold({ points, placing: [0.4, 0], stroke: [], rim: [] })).toEqual({ points });
  });
});

describe('the line through points', () => {
  const square = [{ x: 0, y: 0 }, { x: 10, y: 0 }, { x: 10, y: 10 }, { x: 0, y: 10 }];
  const f = { points: square, placing: [1, 1, 1, 1], stroke: [], rim: [3] };

  it('is found beside a place, the closing side too', () => {
    expect(beside(square, true, { x: -2, y: 4 })).toEqual({ after: 3, at: { x: 0, y: 4 }, off: 2 });
    expect(beside(square, false, { x: -2, y: 4 })?.after).toBe(0);
    expect(beside(square.slice(0, 1), true, { x: 0, y: 0 })).toBeNull();
  });
  it('takes one more point, which those behind it make room for', () => {
    const more = withPoint(f, 0, { x: 5, y: 0 }, 2, true);
    expect(more.points.map((p) => p.x)).toEqual([0, 5, 10, 10, 0]);
    expect(more.placing).toEqual([1, 2, 1, 1, 1]);
    expect(more.rim).toEqual([4, 1]);
    expect(withPoint(f, 3, { x: 0, y: 5 }, 2, true).points).toHaveLength(5);
  });
  it('lets a point go, and an outline all between the handles beside it', () => {
    expect(withoutPoint({ ...f, rim: [] }, 1, [0, 1, 2, 3], false)?.points).toEqual([square[0], square[2], square[3]]);
    expect(withoutPoint(f, 0, [0, 1, 2, 3], true)).toBeNull(); // three points are no outline to mend
    const ring = { points: Array.from({ length: 12 }, (_, i) => ({ x: i, y: i % 3 })), placing: Array(12).fill(1), stroke: [], rim: [1, 6] };
    const left = withoutPoint(ring, 0, [0, 3, 6, 9], true)!;
    expect(left.points.map((p) => p.x)).toEqual([3, 4, 5, 6, 7, 8, 9]);
    expect(left.rim).toEqual([3]);
    expect(withoutPoint(ring, 5, [0, 3, 6, 9], true)).toBeNull();
  });
});
