import { describe, expect, it } from 'vitest';
import type { NameChoice } from '../api/types';
import {
  firstMarked,
  freshDraft,
  genusOf,
  genusOnChecklist,
  inWords,
  isWritten,
  keepDraft,
  keptDraft,
  onChecklist,
  writtenOut,
} from './slip';

const choice = (name: string) => ({ id: name, name, rank: 'species' }) as NameChoice;

function memory() {
  const kept = new Map<string, string>();
  return {
    getItem: (k: string) => kept.get(k) ?? null,
    setItem: (k: string, v: string) => void kept.set(k, v),
    removeItem: (k: string) => void kept.delete(k),
    size: () => kept.size,
  };
}

describe('a slip', () => {
  it('rests on photographs where there are views', () => {
    expect(freshDraft('x', true).basis).toEqual(['photographs']);
    expect(freshDraft('x', false).basis).toEqual(['description']);
  });
  it('is kept while it bears something, with its id', () => {
    const store = memory();
    const d = { ...freshDraft('id-1', true), name: 'Mycena pura' };
    keepDraft(store, 'r', d);
    expect(keptDraft(store, 'r')).toEqual(d);
    expect(keptDraft(store, 'other')).toBeNull();
    keepDraft(store, 'r', freshDraft('id-1', true));
    expect(store.size()).toBe(0);
    expect(isWritten({ ...d, name: ' ' })).toBe(false);
  });
  it('survives an unreadable store', () => {
    for (const text of ['', '{', 'null', '[]', '{"id":1}', '"x"']) {
      expect(keptDraft({ getItem: () => text }, 'r')).toBeNull();
    }
    expect(
      keptDraft(
        {
          getItem: () => {
            throw new Error('no');
          },
        },
        'r',
      ),
    ).toBeNull();
  });
  it('finds the genus of what is typed', () => {
    expect(['lactarius deliciosus', ' Mycena', 'INOCYBE sp.', '', '12', 'x'].map(genusOf)).toEqual([
      'Lactarius',
      'Mycena',
      'Inocybe',
      '',
      '',
      '',
    ]);
  });
  // Signs of open nomenclature stand where Sigovini et al. 2016,
  // https://doi.org/10.1111/2041-210X.12594, put them.
  it('puts the qualifier where it belongs', () => {
    expect(inWords('Laccaria amethystina', '')).toBe('Laccaria amethystina');
    expect(inWords('Laccaria amethystina', 'cf.')).toBe('Laccaria cf. amethystina');
    expect(inWords('Laccaria amethystina', 'aff.')).toBe('Laccaria aff. amethystina');
    expect(inWords('Armillaria mellea', 'agg.')).toBe('Armillaria mellea agg.');
    expect(inWords('Inocybe', 'sp.')).toBe('Inocybe sp.');
    expect(inWords('Inocybe', 'cf.')).toBe('Inocybe cf.');
  });
});

describe('the completion', () => {
  const list = [choice('Mycena pura'), choice('Mycena rosea'), choice('Mycena')];
  it('marks the first, so that Tab takes it', () => expect(firstMarked('myc pu', list)).toBe(0));
  it('marks the exact name before the first', () => expect(firstMarked('mycena', list)).toBe(2));
  it('marks nothing when a whole genus off the list was typed', () => expect(firstMarked('Mycena', [choice('Mycena pura')])).toBe(-1));
  it('marks nothing when there is nothing', () => {
    expect(firstMarked('', list)).toBe(-1);
    expect(firstMarked('x', [])).toBe(-1);
  });
  it('tells first letters from a name written out', () => {
    expect(['lac am', 'Mycena', 'Mycena pura', 'my', '× Hybridus', ''].map(writtenOut)).toEqual([false, true, true, false, true, false]);
    expect(genusOnChecklist('Mycena', [choice('Mycena pura')])).toBe(true);
    expect(genusOnChecklist('Myc', [choice('Mycena pura'), choice('Mycena')])).toBe(false);
  });
  it('knows a checklist name whatever its letters', () => {
    expect(onChecklist(' MYCENA PURA', list)?.name).toBe('Mycena pura');
    expect(onChecklist('Mycena pur', list)).toBeUndefined();
  });
});
