import { describe, expect, it } from 'vitest';
import { answers, LEAF, leafFrom, linesOf, nextCode, wholeOf, wordsOf } from './list';

it('finds by words in any order, without accents and capitals', () => {
  expect(answers('hanger hob', 'S1', 'Hobbleshaw Hanger')).toBe(true);
  expect(answers('Étang', 'etang du bois')).toBe(true);
  expect(answers('hanger wood', 'S1', 'Hobbleshaw Hanger')).toBe(false);
  expect(answers('  ', 'anything')).toBe(true);
  expect(answers('x', undefined)).toBe(false);
});

describe('leafFrom', () => {
  it.each([
    [null, 120, 0], ['50', 120, 50], ['73', 120, 50], ['4000', 120, 100], ['-50', 120, 0], ['half', 120, 0], ['50', 50, 0], ['50', 0, 0],
  ])('%s of %i is %i', (asked, total, from) => expect(leafFrom(asked, total)).toBe(from));
  it('stands at the beginning of a leaf', () => expect(leafFrom('99', 1000) % LEAF).toBe(0));
});

it('reads lists as people type them', () => {
  expect(linesOf(' mud: boots \n\n ticks')).toEqual(['mud: boots', 'ticks']);
  expect(wordsOf('beech wood, clay;ditch')).toEqual(['beech wood', 'clay', 'ditch']);
});

describe('nextCode', () => {
  it.each([
    [[], 'S', 'S1'], [['S1', 'S2', 'S10'], 'S', 'S11'], [['F07', 'F03'], 'F', 'F08'], [['F09'], 'F', 'F10'], [['O12', 'odd'], 'F', 'O13'], [['99'], 'F', '100'],
  ] as [string[], string, string][])('%j gives %s', (codes, letter, next) => expect(nextCode(codes, letter)).toBe(next));
});

it('tells a figure from what is none', () => {
  expect([wholeOf(''), wholeOf(' 12 '), wholeOf('-3'), wholeOf('3.5'), wholeOf('many')]).toEqual([0, 12, NaN, NaN, NaN]);
});
