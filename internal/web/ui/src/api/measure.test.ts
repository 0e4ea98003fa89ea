import { describe, expect, it } from 'vitest';
import { inOriginal, onScreen, toCard, toImage, type ShownPlane } from './measure';
import known from './plane.json';

// plane.json is written from the Go package that found the card.
const plane = known.Plane as ShownPlane;

describe('the card’s plane', () => {
  it('is where the server has it', () => {
    for (const { Spot: s, Image: want } of known.Points) {
      const q = toImage(plane, { x: s[0]!, y: s[1]! });
      expect(q?.x).toBeCloseTo(want[0]!, 6);
      expect(q?.y).toBeCloseTo(want[1]!, 6);
    }
  });
  it('goes there and back', () => {
    for (const { Spot: s, Image: i } of known.Points) {
      const back = toCard(plane, { x: i[0]!, y: i[1]! });
      expect(back?.x).toBeCloseTo(s[0]!, 4);
      expect(back?.y).toBeCloseTo(s[1]!, 4);
    }
  });
  it('ends at its horizon', () => {
    expect(toImage(plane, { x: 45, y: 30 + 10 * plane.unit })).toBeNull();
  });
});

describe('a frame', () => {
  it('takes a point to the screen and back', () => {
    const frame = { left: 690, top: 0, width: 690, height: 432 };
    const q = { x: 1100, y: 260 };
    const s = onScreen(frame, q, 345, 216);
    expect(s.x).toBeCloseTo(205.25, 9);
    expect(s.y).toBeCloseTo(130.25, 9);
    const back = inOriginal(frame, s, 345, 216);
    expect(back.x).toBeCloseTo(q.x, 9);
    expect(back.y).toBeCloseTo(q.y, 9);
  });
});
