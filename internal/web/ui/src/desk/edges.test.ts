import { describe, expect, it } from 'vitest';
import { apart, detailOf, inSight, middle, pathOf, thinned } from './edges';

it('puts a mark in the middle of the box of a ring', () => {
  expect(middle([[0, 0], [4, 1], [2, 6]])).toEqual([2, 3]);
  expect(middle([])).toBeNull();
});

it('leaves out marks that would lie over others, the later ones', () => {
  const at = (x: number, y: number, code: string) => ({ at: { x, y }, code });
  const all = [at(0, 0, 'S1'), at(3, 1, 'S2'), at(400, 0, 'S3'), at(0, 400, 'S4')];
  expect(apart(all, 13).map((s) => s.code)).toEqual(['S1', 'S3', 'S4']);
  expect(apart(all, 0.1)).toHaveLength(4);
});

describe('thinned', () => {
  const circle = Array.from({ length: 10_000 }, (_, i) => ({ x: 300 * Math.cos((i * Math.PI) / 5000), y: 300 * Math.sin((i * Math.PI) / 5000) }));
  it('keeps every point within half a step of what is drawn', () => {
    for (const px of [0.25, 1, 3, 20]) {
      const detail = detailOf(px);
      const left = thinned(circle, detail);
      expect(left[0]).toBe(circle[0]);
      expect(left.at(-1)).toBe(circle.at(-1));
      for (const p of circle.filter((_, i) => i % 97 === 0)) {
        expect(Math.min(...left.map((q) => Math.hypot(p.x - q.x, p.y - q.y)))).toBeLessThanOrEqual(detail / 2 + 1e-9);
      }
    }
  });
  it('draws far fewer from afar and all from near', () => {
    expect(thinned(circle, detailOf(8)).length).toBeLessThan(600);
    expect(thinned(circle, 0.25)).toHaveLength(10_000);
  });
  it('leaves short lines as they are', () => expect(thinned(circle.slice(0, 100), 50)).toHaveLength(100));
});

it('is written anew by zooming, not by moving', () => {
  expect([detailOf(1.9), detailOf(1.1), detailOf(2.1)]).toEqual([1, 1, 2]);
});

it('offers the corners in sight, and none where they would crowd', () => {
  const line = Array.from({ length: 1000 }, (_, i) => ({ x: i, y: 0 }));
  const sight = { x: 500, y: 0, metresPerPixel: 0.5 };
  expect(inSight(line, sight, 100, 100, 400)).toEqual(Array.from({ length: 75 }, (_, i) => i + 463));
  expect(inSight(line, sight, 1000, 100, 400)).toEqual([]);
});

it('writes a path', () => {
  expect(pathOf([{ x: 0, y: 0 }, { x: 1.25, y: -2 }], true)).toBe('M0.0 0.0L1.3 -2.0Z');
  expect(pathOf([], true)).toBe('');
});
