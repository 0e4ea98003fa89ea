import { describe, expect, it } from 'vitest';
import { labWords, shareWords, type ShownTone } from '../api/colour';
import { radiusOf } from './colouring.svelte';

const tone = (lab: number[]): ShownTone => ({ swatch: '#a16d3f', name: 'light brown', lab, labD50: lab, giveOrTake: 2, sure: '', munsell: '', ridgway: '', ridgwayOff: 0, share: 1, where: '' });

describe('a colour in words', () => {
  it('writes whole numbers with a true minus', () => expect(labWords(tone([55.4, -14.2, 30.6]))).toBe('L* 55, a* −14, b* 31'));
  it('has no minus at nought', () => expect(labWords(tone([50, -0.2, 0]))).toBe('L* 50, a* 0, b* 0'));
  it('keeps the minus of a tenth', () => expect(labWords(tone([50, -10.2, -0.9]))).toBe('L* 50, a* −10, b* −1'));
  it('tells shares', () => {
    expect(shareWords(1)).toBe('all of it');
    expect(shareWords(0.66)).toBe('about 66 %');
    expect(shareWords(0.001)).toBe('about 1 %');
  });
});

describe('a brush', () => {
  it('is as wide on the fungus whatever the picture', () => expect(radiusOf(5, 8)).toBe(20));
  it('stays within what the server takes', () => {
    expect(radiusOf(2, 0.5)).toBe(3);
    expect(radiusOf(12, 200)).toBe(600);
  });
});
