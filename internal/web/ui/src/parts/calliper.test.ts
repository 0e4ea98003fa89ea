import { describe, expect, it } from 'vitest';
import { toCard, type ShownPlane } from '../api/measure';
import known from '../api/plane.json';
import { gridLines, gridStep, handlesOf, heightOf, HEIGHTS, inside, nearest, offStage, onStage, pulled, roomFor, spanOf, stepOf } from './calliper';

const plane = known.Plane as ShownPlane;
const part = { left: 100, top: 50, width: 800, height: 600 };
const laid = { part, stage: { width: 400, height: 400 }, lie: { scale: 2, x: 30, y: -10 } };

describe('a point on the stage', () => {
  it('lies where the picture is drawn', () => {
    // 800 x 600 fits as 400 x 300; twice that is 800 x 600 about (230, 190): one to one.
    const s = onStage(laid, { x: 499.5, y: 349.5 });
    expect(s.x).toBeCloseTo(230, 9);
    expect(s.y).toBeCloseTo(190, 9);
  });
  it('goes there and back', () => {
    const q = { x: 612.25, y: 401.75 };
    const back = offStage(laid, onStage(laid, q));
    expect(back.x).toBeCloseTo(q.x, 9);
    expect(back.y).toBeCloseTo(q.y, 9);
  });
  it('stays inside the picture', () => {
    expect(inside(part, { x: 0, y: 9999 })).toEqual({ x: 100, y: 649 });
    expect(offStage({ ...laid, stage: { width: 0, height: 0 } }, { x: 5, y: 5 })).toEqual({ x: 100, y: 50 });
  });
});

describe('keys', () => {
  it('move by one pixel, with shift by ten', () => {
    expect(stepOf('ArrowLeft', false)).toEqual({ x: -1, y: 0 });
    expect(stepOf('ArrowDown', true)).toEqual({ x: 0, y: 10 });
    expect(stepOf('a', false)).toBeNull();
  });
  it('move by as much as the screen can show', () => {
    expect(stepOf('ArrowUp', false, 2.5)).toEqual({ x: 0, y: -2.5 });
    expect(stepOf('ArrowUp', true, 2.5)).toEqual({ x: 0, y: -25 });
  });
});

describe('an outline', () => {
  const ring = Array.from({ length: 100 }, (_, i) => ({ x: 50 * Math.cos((i * Math.PI) / 50), y: 50 * Math.sin((i * Math.PI) / 50) }));
  it('has handles all round', () => {
    expect(handlesOf(3)).toEqual([0, 1, 2]);
    const h = handlesOf(100);
    expect(h).toHaveLength(16);
    expect(new Set(h).size).toBe(16);
    expect(Math.max(...h)).toBeLessThan(100);
  });
  it('has handles where points were put by hand, instead of even ones close by', () => {
    expect(handlesOf(100, 10, [33, 4])).toEqual([4, 10, 20, 33, 40, 50, 60, 70, 80, 90]);
    expect(handlesOf(100, 10, [98])).not.toContain(0);
  });
  it('has the fewer handles the smaller it is shown', () => {
    // 314 px round: at a tenth four, at one CSS pixel each seven, enlarged at most twenty.
    expect([0.1, 1, 8].map((shown) => roomFor(ring, shown))).toEqual([4, 7, 20]);
  });
  it('is pulled at one handle, and ends at its neighbours', () => {
    const h = handlesOf(100, 10);
    const to = pulled(ring, h, 0, { x: 8, y: 0 });
    expect(to[0]!.x).toBeCloseTo(58, 9);
    expect(to[5]!.x - ring[5]!.x).toBeCloseTo(4, 9);
    expect(to[95]!.x - ring[95]!.x).toBeCloseTo(4, 9);
    expect(to[10]).toEqual(ring[10]);
    expect(to[50]).toEqual(ring[50]);
    expect(to[90]).toEqual(ring[90]);
  });
  it('of three points moves the one alone', () => {
    const three = ring.slice(0, 3);
    const to = pulled(three, handlesOf(3), 1, { x: 1, y: 2 });
    expect([to[0], to[2]]).toEqual([three[0], three[2]]);
    expect(to[1]).toEqual({ x: three[1]!.x + 1, y: three[1]!.y + 2 });
  });
  it('finds the nearest point', () => {
    expect(nearest([{ x: 0, y: 0 }, { x: 10, y: 0 }], { x: 7, y: 3 })).toBe(1);
    expect(nearest([], { x: 7, y: 3 })).toBe(-1);
  });
});

describe('the grid', () => {
  const whole = { left: 0, top: 0, width: plane.centreX * 2, height: plane.centreY * 2 };
  it('lies at true millimetres in the card’s plane, whatever the print', () => {
    for (const scale of [1, 0.94]) {
      const lines = gridLines(plane, whole, scale, 5);
      expect(lines.length).toBeGreaterThan(8);
      for (const line of lines) {
        const [a, b] = [toCard(plane, line.points[0]!)!, toCard(plane, line.points[1]!)!];
        const fixed = Math.abs(a.x - b.x) < Math.abs(a.y - b.y) ? a.x * scale : a.y * scale;
        expect(Math.abs(fixed / 5 - Math.round(fixed / 5))).toBeLessThan(1e-3);
        expect(line.weight === 10).toBe(Math.round(fixed) % 10 === 0);
      }
    }
  });
  it('is no finer than can be seen', () => {
    expect([gridStep(9), gridStep(2), gridStep(0.4)]).toEqual([1, 5, 10]);
  });
});

describe('how high it lies', () => {
  it('is told by words, or by numbers in either order', () => {
    expect(spanOf('finger', null, null)).toEqual({ from: 10, to: 20 });
    expect(spanOf('mm', 30, 12)).toEqual({ from: 12, to: 30 });
  });
  it('is not told by nothing', () => {
    expect(spanOf('', null, null)).toBeNull();
    expect(spanOf('mm', 3, null)).toBeNull();
    expect(spanOf('mm', undefined, undefined)).toBeNull();
  });
});

describe('a height', () => {
  it('comes back as the answer it was given by, and else as numbers', () => {
    for (const h of HEIGHTS) if (h.name !== 'mm' && h.name !== 'standing') expect(heightOf(h.from, h.to)).toBe(h.name);
    expect(heightOf(3, 5)).toBe('mm');
    expect(heightOf(0, 0)).toBe('mm');
  });
  it('can be told between any two that touch', () => {
    const spans = HEIGHTS.filter((h) => h.to > 2).map((h) => [h.from, h.to]);
    for (let mm = 0; mm <= 110; mm++) expect(spans.some(([from, to]) => from! <= mm && mm <= to!), `${mm} mm`).toBe(true);
  });
});
