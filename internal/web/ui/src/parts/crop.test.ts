import { describe, expect, test } from 'vitest';
import { drawn, EDGES, edgeWords, givenPart, isWhole, LEAST, movedBy, shifted, staysWords, wholePart, withEdge, type Part } from './crop';

const full = { width: 4032, height: 3024 };

describe('the part of a picture that stays', () => {
  test('an edge goes no further than the picture and the opposite edge allow', () => {
    const part = wholePart(full);
    expect(withEdge(part, 'left', -50, full).left).toBe(0);
    expect(withEdge(part, 'left', 9999, full).left).toBe(4032 - LEAST);
    expect(withEdge({ ...part, top: 1000 }, 'bottom', 0, full).bottom).toBe(1000 + LEAST);
    expect(withEdge(part, 'right', 2000.4, full).right).toBe(2000);
  });
  test('it is drawn from any corner to any other, inside the picture', () => {
    expect(drawn({ x: 3000, y: 2500 }, { x: 1000, y: 500 }, full)).toEqual({ left: 1000, top: 500, right: 3000, bottom: 2500 });
    expect(drawn({ x: -80, y: -80 }, { x: 9999, y: 9999 }, full)).toEqual(wholePart(full));
    const dot = drawn({ x: 4032, y: 3024 }, { x: 4032, y: 3024 }, full);
    expect([dot.right - dot.left, dot.bottom - dot.top]).toEqual([LEAST, LEAST]);
  });
  test('whatever is done by keys, it stays inside the picture and no side falls under the least', () => {
    let part: Part = wholePart(full);
    const keys = ['ArrowLeft', 'ArrowRight', 'ArrowUp', 'ArrowDown', 'PageUp', 'PageDown', 'Home', 'End'];
    let seed = 7;
    const roll = (n: number) => (seed = (seed * 48271) % 2147483647) % n;
    for (let n = 0; n < 4000; n++) {
      const edge = EDGES[roll(4)]!;
      const to = movedBy(keys[roll(8)]!, roll(2) === 1, part, edge, full);
      if (to !== null) part = withEdge(part, edge, to, full);
      if (roll(5) === 0) part = shifted(part, roll(800) - 400, roll(800) - 400, full);
      expect(part.left >= 0 && part.top >= 0 && part.right <= full.width && part.bottom <= full.height).toBe(true);
      expect(part.right - part.left >= LEAST && part.bottom - part.top >= LEAST).toBe(true);
    }
  });
  test('up and down move no upright edge, left and right no level one', () => {
    const part = wholePart(full);
    expect(movedBy('ArrowUp', false, part, 'left', full)).toBeNull();
    expect(movedBy('ArrowRight', false, part, 'top', full)).toBeNull();
    expect(movedBy('ArrowRight', false, part, 'left', full)).toBe(40);
    expect(movedBy('ArrowDown', true, part, 'top', full)).toBe(1);
  });
  test('a part moved against the edge keeps its size', () => {
    expect(shifted({ left: 100, top: 100, right: 300, bottom: 200 }, -500, 9999, full)).toEqual({ left: 0, top: 2924, right: 200, bottom: 3024 });
  });
  test('the server gets parts of the picture that come back as the same pixels', () => {
    for (const part of [{ left: 1, top: 2, right: 4031, bottom: 3001 }, { left: 1555, top: 163, right: 2795, bottom: 1093 }]) {
      const given = givenPart(part, full);
      // As internal/app/crop.go rounds: inwards, but for a billionth of a pixel.
      expect(Math.ceil(given.left * full.width - 1e-9)).toBe(part.left);
      expect(Math.floor((given.left + given.width) * full.width + 1e-9)).toBe(part.right);
      expect(Math.ceil(given.top * full.height - 1e-9)).toBe(part.top);
      expect(Math.floor((given.top + given.height) * full.height + 1e-9)).toBe(part.bottom);
      expect([given.seenWidth, given.seenHeight]).toEqual([4032, 3024]);
    }
  });
  test('how much stays is said in numbers', () => {
    expect(staysWords({ left: 0, top: 0, right: 2016, bottom: 3024 }, full)).toBe('2016 × 3024 of 4032 × 3024 pixels, 50 %');
    expect(staysWords({ left: 0, top: 0, right: 4031, bottom: 3024 }, full)).toContain('more than 99 %');
    expect(staysWords({ left: 0, top: 0, right: 40, bottom: 40 }, full)).toContain('less than 1 %');
    expect(edgeWords({ left: 0, top: 0, right: 2016, bottom: 3024 }, 'right', full)).toBe('2016 pixels cut away; 2016 by 3024 pixels stay');
    expect(edgeWords(wholePart(full), 'top', full)).toContain('nothing cut away here');
    expect(isWhole(wholePart(full), full)).toBe(true);
  });
});
