import { describe, expect, it } from 'vitest';
import { fitted, kept, LARGEST, moved, under, WHOLE, zoomed } from './zoom';

const picture = { width: 1600, height: 1200 };
const frame = { width: 1000, height: 600 };

describe('zoom', () => {
  it('fits the whole picture', () => {
    expect(fitted(picture, frame)).toEqual({ width: 800, height: 600 });
    expect(fitted({ width: 0, height: 0 }, frame)).toEqual({ width: 0, height: 0 });
  });
  it('keeps what lies under the pointer where the edges allow', () => {
    // Property: for many points well inside, the picture point stays put.
    for (let i = 0; i < 200; i++) {
      const px = ((i * 37) % 300) - 150;
      const py = ((i * 53) % 200) - 100;
      const start = zoomed(WHOLE, 4, 0, 0, picture, frame);
      const before = under(px, py, start, picture, frame);
      const after = under(px, py, zoomed(start, 1.5, px, py, picture, frame), picture, frame);
      expect(after?.u).toBeCloseTo(before?.u ?? NaN, 9);
      expect(after?.v).toBeCloseTo(before?.v ?? NaN, 9);
    }
  });
  it('stays between the whole picture and eight times', () => {
    expect(zoomed(WHOLE, 0.1, 0, 0, picture, frame).scale).toBe(1);
    expect(zoomed(WHOLE, 100, 0, 0, picture, frame).scale).toBe(LARGEST);
  });
  it('never lets an edge into the frame', () => {
    const far = moved({ scale: 2, x: 0, y: 0 }, 1e6, -1e6, picture, frame);
    expect(far).toEqual({ scale: 2, x: 300, y: -300 });
    expect(moved(WHOLE, 50, 50, picture, frame)).toEqual(WHOLE);
    expect(kept({ scale: 1.1, x: 400, y: 0 }, picture, frame).x).toBe(0);
  });
  it('finds the picture point under the pointer', () => {
    expect(under(0, 0, WHOLE, picture, frame)).toEqual({ u: 0.5, v: 0.5 });
    expect(under(-400, -300, WHOLE, picture, frame)).toEqual({ u: 0, v: 0 });
    expect(under(-450, 0, WHOLE, picture, frame)).toBeNull();
  });
});
