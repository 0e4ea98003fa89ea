import { expect, it } from 'vitest';
import { answers, linesOf, wholeOf, wordsOf } from './list';

it('finds by words in any order, without accents and capitals', () => {
  expect(answers('hanger hob', 'S1', 'Hobbleshaw Hanger')).toBe(true);
  expect(answers('Étang', 'etang du bois')).toBe(true);
  expect(answers('hanger wood', 'S1', 'Hobbleshaw Hanger')).toBe(false);
  expect(answers('  ', 'anything')).toBe(true);
  expect(answers('x', undefined)).toBe(false);
});

it('reads lists as people type them', () => {
  expect(linesOf(' mud: boots \n\n ticks')).toEqual(['mud: boots', 'ticks']);
  expect(wordsOf('beech wood, clay;ditch')).toEqual(['beech wood', 'clay', 'ditch']);
});

it('tells a figure from what is none', () => {
  expect([wholeOf(''), wholeOf(' 12 '), wholeOf('-3'), wholeOf('3.5'), wholeOf('many')]).toEqual([0, 12, NaN, NaN, NaN]);
});
