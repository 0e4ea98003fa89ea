import { describe, expect, it } from 'vitest';
import type { TablePage } from '../api/types';
import { afterLeaving, inOrder, spotOf, stepFrom, without } from './pile';

const find = (id: string) => ({ id, number: `W26-${id}`, why: 'name', care: false, passedToMe: false });
const page = {
  waits: 3,
  determiners: [],
  groups: [
    { code: 'a', title: 'Gilled, in grass', short: 'In grass', drawing: 'form-gilled', finds: [find('1'), find('2')] },
    { code: 'b', title: 'Brackets', short: 'Brackets', drawing: 'form-bracket', finds: [find('3')] },
  ],
} as unknown as TablePage;

describe('the pile', () => {
  it('lies in the order of the strip', () => expect(inOrder(page).map((f) => f.id)).toEqual(['1', '2', '3']));
  it('goes round in both directions', () => {
    expect(stepFrom(page, '2', 1)).toBe('3');
    expect(stepFrom(page, '3', 1)).toBe('1');
    expect(stepFrom(page, '1', -1)).toBe('3');
  });
  it('begins at an end for a find that does not wait', () => {
    expect(stepFrom(page, 'x', 1)).toBe('1');
    expect(stepFrom(page, 'x', -1)).toBe('3');
    expect(stepFrom({ groups: [] }, 'x', 1)).toBeNull();
  });
  it('knows the group and place of a find', () => {
    expect(spotOf(page, '3')).toMatchObject({ index: 0, group: { code: 'b' } });
    expect(spotOf(page, 'x')).toBeNull();
  });
  it('loses a find, and its group when that was the last', () => {
    const rest = without(page, '3');
    expect(rest.waits).toBe(2);
    expect(rest.groups.map((g) => g.code)).toEqual(['a']);
    expect(page.groups).toHaveLength(2);
    expect(afterLeaving(page, '3')).toBe('1');
  });
  it('has nothing to open after the last find', () => {
    expect(afterLeaving(without(without(page, '1'), '2'), '3')).toBeNull();
  });
  it('visits every find exactly once in a round', () => {
    for (const start of inOrder(page)) {
      const seen: string[] = [];
      let at: string | null = start.id;
      do {
        seen.push(at);
        at = stepFrom(page, at, 1);
      } while (at && at !== start.id);
      expect(seen.sort()).toEqual(['1', '2', '3']);
    }
  });
});
