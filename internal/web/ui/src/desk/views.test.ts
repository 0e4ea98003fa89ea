import { expect, it } from 'vitest';
import type { RecordSheet, ShownView } from '../api/types';
import { laidOut, parted } from './views';

const view = (kind: string) => ({ id: kind, kind, photograph: kind }) as unknown as ShownView;
const sheet = (views: string[], misses: string[]) => ({ views: views.map(view), misses }) as unknown as RecordSheet;

it('lays views and outlines in the fixed order', () => {
  const all = laidOut(sheet(['base', 'top', 'surroundings'], ['underneath', 'side']));
  expect(all.map((l) => [l.kind, l.view !== null])).toEqual([
    ['top', true],
    ['side', false],
    ['underneath', false],
    ['surroundings', true],
    ['base', true],
  ]);
  expect(parted(all).bench.map((l) => l.kind)).toEqual(['top', 'side', 'underneath', 'base']);
  expect(parted(all).surroundings).toHaveLength(1);
});

it('keeps surroundings on the bench when there is nothing else', () => {
  const { bench, surroundings } = parted(laidOut(sheet(['surroundings'], [])));
  expect(bench.map((l) => l.kind)).toEqual(['surroundings']);
  expect(surroundings).toEqual([]);
});
