import { describe, expect, it } from 'vitest';
import { byHand, togetherTold } from './placed';

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
