import { describe, expect, it } from 'vitest';
import { offsetsOf, partsOf, rowAt, type Part } from './foray-window';

const ids = Array.from({ length: 1000 }, (_, i) => ({ id: `${i}` }));
const taller = new Map([['3', 90]]);
const offsets = offsetsOf(ids, 40, taller);

const height = (parts: Part[]) => parts.reduce((h, p) => h + ('row' in p ? offsets[p.row + 1]! - offsets[p.row]! : p.gap), 0);
const rows = (parts: Part[]) => parts.filter((p) => 'row' in p).map((p) => p.row);

describe('the window of rows', () => {
  it('knows where rows begin', () => {
    expect([offsets[3], offsets[4], offsets[1000]]).toEqual([120, 210, 40050]);
    expect([rowAt(offsets, -5), rowAt(offsets, 0), rowAt(offsets, 209), rowAt(offsets, 210), rowAt(offsets, 1e9)]).toEqual([0, 0, 3, 4, 999]);
  });
  it.each([
    [0, 400, -1], [20000, 20800, -1], [20000, 20800, 0], [20000, 20800, 2], [20000, 20800, 999], [39000, 99999, 5], [0, 100, 1], [20000, 20800, 505],
  ])('between %i and %i holding row %i is as high as all rows, in order, once', (top, bottom, held) => {
    const parts = partsOf(offsets, top, bottom, held);
    expect(height(parts)).toBe(40050);
    const drawn = rows(parts);
    expect(drawn).toEqual([...new Set(drawn)].sort((a, b) => a - b));
    expect(drawn.length).toBeLessThan(40);
    if (held >= 0) expect(drawn).toContain(held);
    expect(drawn).toContain(rowAt(offsets, top));
    expect(drawn).toContain(rowAt(offsets, bottom));
  });
  it('draws nothing of nothing', () => expect(partsOf(offsetsOf([], 40, taller), 0, 100, 0)).toEqual([]));
});
