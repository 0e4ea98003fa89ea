import { describe, expect, it } from 'vitest';
import { heldFor, upOf } from './level';

/** The rotation as the W3C's recommendation writes it out in full (Device Orientation and Motion, appendix A.2). */
function rotation(alpha: number, beta: number, gamma: number): number[][] {
  const r = (d: number) => (d * Math.PI) / 180;
  const [cX, cY, cZ] = [Math.cos(r(beta)), Math.cos(r(gamma)), Math.cos(r(alpha))];
  const [sX, sY, sZ] = [Math.sin(r(beta)), Math.sin(r(gamma)), Math.sin(r(alpha))];
  return [
    [cZ * cY - sZ * sX * sY, -cX * sZ, cY * sZ * sX + cZ * sY],
    [cY * sZ + cZ * sX * sY, cZ * cX, sZ * sY - cZ * cY * sX],
    [-cX * sY, sX, cX * cY],
  ];
}

describe('what is up', () => {
  it('is the third row of the rotation, whichever way the phone looks round', () => {
    for (const [alpha, beta, gamma] of [[0, 0, 0], [77, 12, -40], [200, -95, 30], [310, 90, 5]] as const) {
      const [x, y, z] = rotation(alpha, beta, gamma)[2]!;
      const up = upOf(beta, gamma, 0);
      expect(up.x).toBeCloseTo(x!, 12);
      expect(up.y).toBeCloseTo(y!, 12);
      expect(up.z).toBeCloseTo(z!, 12);
    }
  });
  it('turns with the screen', () => {
    // Held on its left side, the screen's top is the phone's right edge.
    expect(upOf(0, -90, 90)).toMatchObject({ y: expect.closeTo(1, 12) });
    expect(upOf(0, 90, 270)).toMatchObject({ y: expect.closeTo(1, 12) });
    expect(upOf(90, 0, 0)).toMatchObject({ y: expect.closeTo(1, 12) });
  });
});

describe('how it is held', () => {
  it('for the top is straight down, and says which edge is off', () => {
    expect(heldFor('top', upOf(0, 0, 0))?.level).toBe(true);
    expect(heldFor('top', upOf(7, 3, 0))?.level).toBe(true);
    expect(heldFor('top', upOf(25, 0, 0))).toMatchObject({ level: false, says: 'Lower the upper edge of the phone.' });
    expect(heldFor('top', upOf(-25, 0, 0))).toMatchObject({ level: false, says: 'Raise the upper edge of the phone.' });
    expect(heldFor('top', upOf(0, 25, 0))).toMatchObject({ level: false, says: 'Raise the right edge of the phone.' });
    expect(heldFor('top', upOf(0, -25, 0))).toMatchObject({ level: false, says: 'Lower the right edge of the phone.' });
  });
  it('for the side is upright and low, for the surroundings upright', () => {
    expect(heldFor('side', upOf(90, 0, 0))?.level).toBe(true);
    expect(heldFor('side', upOf(60, 0, 0))).toMatchObject({ level: false, says: 'Get down lower: you still look from above.' });
    expect(heldFor('side', upOf(120, 0, 0))).toMatchObject({ level: false, says: 'Tip the phone forward: you look up.' });
    expect(heldFor('surroundings', upOf(60, 0, 0))?.level).toBe(true);
    expect(heldFor('surroundings', { x: Math.sin(.2), y: Math.cos(.2), z: 0 })).toMatchObject({ level: false, says: 'Turn the phone a little to the right.' });
  });
  it('does not matter for the others', () => {
    expect(heldFor('underneath', upOf(0, 0, 0))).toBeNull();
    expect(heldFor('close-up', upOf(0, 0, 0))).toBeNull();
  });
  it('keeps its mark inside the level', () => {
    for (let beta = -180; beta <= 180; beta += 15)
      for (let gamma = -90; gamma <= 90; gamma += 15)
        for (const kind of ['top', 'side', 'surroundings'] as const) {
          const held = heldFor(kind, upOf(beta, gamma, 0))!;
          expect(Math.max(Math.abs(held.x), Math.abs(held.y))).toBeLessThanOrEqual(1);
        }
  });
});
