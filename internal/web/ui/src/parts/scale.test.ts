import { describe, expect, it } from 'vitest';
import { barFor, barSaid, equalised, shownScale } from './scale';

describe('a scale bar', () => {
  it('is 1, 2 or 5 times a power of ten and fits', () => {
    for (const scale of [0.02, 0.7, 3, 8, 40, 333]) {
      const bar = barFor(scale, 120)!;
      expect(bar.px).toBeLessThanOrEqual(120.001);
      expect(bar.px).toBeGreaterThan(120 / 2.6);
      expect(bar.px / bar.mm).toBeCloseTo(scale, 9);
      expect(['1', '2', '5']).toContain(`${bar.mm.toExponential()}`.charAt(0));
    }
  });
  it('is named where a button shows it, and nowhere else', () => {
    expect(barSaid(8, 120)).toBe('. Scale bar: 10 mm');
    expect(barSaid(0, 120)).toBe('');
  });
  it('says centimetres from ten on', () => {
    expect(barFor(1, 120)?.words).toBe('10 cm');
    expect(barFor(8, 120)?.words).toBe('10 mm');
    expect(barFor(300, 120)?.words).toBe('0.2 mm');
  });
  it('is not there without a scale', () => {
    expect(barFor(0, 120)).toBeNull();
    expect(barFor(NaN, 120)).toBeNull();
    expect(barFor(5, 0)).toBeNull();
  });
});

describe('scales of views', () => {
  it('follow the size at which a picture is shown', () => {
    expect(shownScale(8, { width: 1600, height: 1200 }, { width: 400, height: 400 })).toBeCloseTo(2);
    expect(shownScale(undefined, { width: 1600, height: 1200 }, { width: 400, height: 400 })).toBe(0);
  });
  it('become one: the smallest', () => {
    const by = equalised([2, 0, 4, 3]);
    expect(by).toEqual([1, 1, 0.5, 2 / 3]);
    expect(equalised([2, 0])).toEqual([1, 1]);
  });
});
