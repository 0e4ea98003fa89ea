import { describe, expect, it } from 'vitest';
import type { ViewKind } from '../api/types';
import { changed, doubles, guessAnew, guessViews, inOrder } from './guess';

const at = (id: string, time?: string, fileName = `${id}.jpg`) => ({ id, fileName, ...(time ? { taken: { date: '2026-10-10', time } } : {}) });
const kinds = (m: Map<string, ViewKind>) => [...m].map(([id, k]) => `${id} ${k}`);

describe('guessViews', () => {
  it('goes by the time taken, whatever the names', () => {
    expect(kinds(guessViews([at('c', '11:37', 'a1.jpg'), at('a', '11:34', 'z9.jpg'), at('b', '11:36', 'b.jpg')]))).toEqual(['a top', 'b side', 'c underneath']);
  });
  it('goes by name where cameras say nothing, 10 after 9', () => {
    expect(inOrder([at('x', undefined, 'P10.jpg'), at('y', undefined, 'P9.jpg')]).map((p) => p.id)).toEqual(['y', 'x']);
  });
  it('leaves out what is taken already and calls the rest close-ups', () => {
    const seven = Array.from({ length: 7 }, (_, i) => at(String(i), `10:0${i}`));
    expect(kinds(guessViews(seven, ['side']))).toEqual(['0 top', '1 underneath', '2 surroundings', '3 cut', '4 base', '5 close-up', '6 close-up']);
  });
  it('does not depend on the order of choosing', () => {
    const four = [at('a', '1:00'), at('b', '2:00'), at('c', '3:00'), at('d', '4:00')];
    const want = kinds(guessViews(four));
    for (const i of [1, 2, 3]) expect(kinds(guessViews([...four.slice(i), ...four.slice(0, i)]))).toEqual(want);
  });
});

describe('guessAnew', () => {
  it('guesses again as each arrives, round what is settled', () => {
    const first = guessAnew([{ ...at('late', '11:40'), kind: 'top' as ViewKind, guessed: true }]);
    expect(first[0]!.kind).toBe('top');
    const both = guessAnew([...first, { ...at('early', '11:30'), kind: 'top' as ViewKind, guessed: true }, { ...at('mine', '11:00'), kind: 'side' as ViewKind }]);
    expect(both.map((p) => `${p.id} ${p.kind}`)).toEqual(['late underneath', 'early top', 'mine side']);
  });
});

describe('changed', () => {
  const two = [{ id: 'a', kind: 'top' as ViewKind, guessed: true }, { id: 'b', kind: 'side' as ViewKind, guessed: true }];
  it('lets two guesses change places and settles the one that was touched', () => {
    expect(changed(two, 'a', 'side')).toEqual([{ id: 'a', kind: 'side', guessed: false }, { id: 'b', kind: 'top', guessed: true }]);
  });
  it('is undone by one touch the other way, also when the list was left meanwhile', () => {
    expect(changed(changed(two, 'a', 'side'), 'a', 'top').map((p) => p.kind)).toEqual(['top', 'side']);
  });
  it('keeps two of a kind once the other is settled', () => {
    const settled = changed(two.map((p) => ({ ...p, guessed: false })), 'b', 'top');
    expect(settled.map((p) => p.kind)).toEqual(['top', 'top']);
    expect(doubles(settled)).toEqual(['top']);
  });
  it('leaves all as it is when nothing changes', () => {
    expect(changed(two, 'a', 'top')).toEqual(two);
    expect(changed(two, 'zz', 'top')).toEqual(two);
  });
});
