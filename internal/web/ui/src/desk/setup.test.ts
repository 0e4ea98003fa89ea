import { describe, expect, it } from 'vitest';
import { boxFaults, boxSize, codeFrom, goodCode, kilometres, readCorners, readDegrees } from './setup';

describe('degrees', () => {
  it('are read as people write them', () => {
    expect(readDegrees('48.45', 90)).toBe(48.45);
    expect(readDegrees(' 48,45° N ', 90)).toBe(48.45);
    expect(readDegrees('20.1 W', 180)).toBe(-20.1);
    expect(readDegrees('−20.1', 180)).toBe(-20.1);
    expect(readDegrees('0', 180)).toBe(0);
  });
  it('are refused with a reason to look again', () => {
    for (const t of ['', 'north', '91', '48.45 W', '-48 N', '48 27']) expect(readDegrees(t, 90)).toBeNull();
    expect(readDegrees('181', 180)).toBeNull();
    expect(readDegrees('20 N', 180)).toBeNull();
  });
});

describe('corners', () => {
  const box = { north: 48.6, south: 48.45, east: -19.8, west: -20.1 };
  it('may be given in any order and manner', () => {
    for (const t of [
      '48.45, -20.1 48.60, -19.8',
      '48.45, -20.1\n48.60, -19.8',
      '48.60 -19.8; 48.45 -20.1',
      '48.45, -19.8 / 48.60, -20.1',
      '48.45 N, 20.1 W; 48.60 N, 19.8 W',
      '48,45 -20,1; 48,60 -19,8',
      '(48.45, −20.1) (48.6, −19.8)',
    ]) {
      expect(readCorners(t), t).toEqual(box);
    }
  });
  it('need two pairs on the globe', () => {
    for (const t of ['', '48.45, -20.1', '1 2 3 4 5', '95 1 96 2', '1 200 2 201', 'here']) expect(readCorners(t), t).toBeNull();
  });
});

describe('the box', () => {
  it('has north above south and west before east', () => {
    expect(boxFaults({ north: 2, south: 1, west: 1, east: 2 })).toEqual({});
    expect(Object.keys(boxFaults({ north: 1, south: 1, west: 3, east: 2 }))).toEqual(['north', 'west']);
    expect(boxFaults({ north: 1 })).toEqual({});
  });
  it('is measured on the sphere', () => {
    // A degree of latitude on a sphere of 6371 km is 111.19 km.
    const s = boxSize({ north: 60.5, south: 59.5, west: 0, east: 1 });
    expect(s.height).toBeCloseTo(111.19, 2);
    expect(s.width).toBeCloseTo(111.19 / 2, 1);
    expect([kilometres(0.85), kilometres(4.23), kilometres(38.4)]).toEqual(['850 m', '4.2 km', '38 km']);
  });
});

describe('the code', () => {
  it('stands before field numbers', () => {
    expect(['W26', 'AB', 'W', 'w26', '26W', 'TOOLONG12'].map(goodCode)).toEqual([true, true, false, false, false, false]);
  });
  it('is offered from title and year', () => {
    expect(codeFrom('Wimbrel, fungi of 2026', '2026-09-26')).toBe('W26');
    expect(codeFrom('Élan', '2026-09-26')).toBe('E26');
    expect(codeFrom('', '')).toBe('');
  });
});
