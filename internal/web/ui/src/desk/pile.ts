// The pile of finds on the table: which comes next, which came before, and
// how a find's place in its group is said in words.

import type { TableFind, TableGroup, TablePage } from '../api/types';

/** Where a find lies: its group and its place in it, counted from 0. */
export interface Spot {
  group: TableGroup;
  find: TableFind;
  index: number;
}

/** All finds that wait, in the order of the strip. */
export function inOrder(page: Pick<TablePage, 'groups'>): TableFind[] {
  return page.groups.flatMap((g) => g.finds);
}

/** Where the find with this id lies, or null when it does not wait. */
export function spotOf(page: Pick<TablePage, 'groups'>, id: string): Spot | null {
  for (const group of page.groups) {
    const index = group.finds.findIndex((f) => f.id === id);
    const find = group.finds[index];
    if (find) return { group, find, index };
  }
  return null;
}

/**
 * The id of the find `steps` on from `id` (−1: the one before). The pile goes
 * round, so that the last is followed by the first. Null when none waits.
 * A find that does not wait is followed by the first of the pile.
 */
export function stepFrom(page: Pick<TablePage, 'groups'>, id: string, steps: 1 | -1): string | null {
  const all = inOrder(page);
  if (all.length === 0) return null;
  const at = all.findIndex((f) => f.id === id);
  if (at < 0) return all[steps === 1 ? 0 : all.length - 1]?.id ?? null;
  return all[(at + steps + all.length) % all.length]?.id ?? null;
}

/** What to open after `id` has left the pile, from the pile as it was before. */
export function afterLeaving(page: Pick<TablePage, 'groups'>, id: string): string | null {
  const next = stepFrom(page, id, 1);
  return next === id ? null : next;
}

/** The pile without one find; groups that become empty go too. */
export function without(page: TablePage, id: string): TablePage {
  const groups = page.groups.map((g) => ({ ...g, finds: g.finds.filter((f) => f.id !== id) })).filter((g) => g.finds.length > 0);
  return { ...page, groups, waits: groups.reduce((sum, g) => sum + g.finds.length, 0) };
}
