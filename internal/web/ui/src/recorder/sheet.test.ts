import { describe, expect, it } from 'vitest';
import type { RecordSheet, ShownView, ViewKind } from '../api/types';
import { inWords, labelLines, platesOf } from './sheet';

const view = (kind: ViewKind, id = kind as string) => ({ id, kind, photograph: id }) as ShownView;

describe('platesOf', () => {
  it('lays views and outlines in the fixed order', () => {
    const { large, small } = platesOf({ views: [view('base'), view('surroundings'), view('top')], misses: ['side', 'underneath'], asked: [{ view: 'cut' }, { view: 'side' }, {}] });
    expect(large.map((p) => `${p.kind}${p.view ? '' : ' -'}`)).toEqual(['top', 'side -', 'underneath -', 'surroundings']);
    expect(small.map((p) => `${p.kind}${p.view ? '' : ' -'}`)).toEqual(['cut -', 'base']);
  });
  it('keeps two of a kind', () => expect(platesOf({ views: [view('top', 'x'), view('top', 'y')], misses: [], asked: [] }).large.map((p) => p.key)).toEqual(['x', 'y']));
  it('outlines nothing where nothing was photographed', () => expect(platesOf({ views: [], misses: [], asked: [] })).toEqual({ large: [], small: [] }));
});

it('writes label and description from what there is', () => {
  const s = { place: { words: 'Upper Tansel Pinery', known: true, square: '27U 583560 5382410', uncertainty: 25 }, substrate: 'stump', host: 'Picea', recorder: 'B', form: 'Mushroom with gills', numberSeen: 1, smell: 'Flour' } as RecordSheet;
  expect(Object.fromEntries(labelLines(s))).toMatchObject({ 'field name': '', square: '27U 583560 5382410, to 25\u00a0m', 'grows on': 'stump; Picea', specimen: 'none kept' });
  expect(inWords(s)).toBe('Mushroom with gills. One seen. Smell: flour.');
  expect(inWords({ place: s.place } as RecordSheet)).toBe('');
});
