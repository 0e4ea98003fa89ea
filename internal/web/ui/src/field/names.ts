/** Completing a name that somebody types from the checklist that this phone holds: by its letters alone, in the order of the alphabet. */
import type { HeldName } from '../api/field';

/** How many names are offered at most. */
export const mostNames = 6;

const fold = (s: string) => s.trim().toLowerCase().normalize('NFD').replace(/\p{M}/gu, '').replace(/\s+/g, ' ');

/** begins lists the names that begin with what was typed, or whose second word does; none below three letters, or once a whole name stands there. */
export function begins(list: readonly HeldName[], typed: string): { names: HeldName[]; more: number } {
  const text = fold(typed);
  if (text.length < 3 || list.some((n) => fold(n.name) === text && !list.some((o) => o !== n && fold(o.name).startsWith(`${text} `)))) return { names: [], more: 0 };
  const found = list.filter((n) => {
    const name = fold(n.name);
    return name !== text && (name.startsWith(text) || name.split(' ').slice(1).some((word) => word.startsWith(text)));
  });
  return { names: found.slice(0, mostNames), more: Math.max(0, found.length - mostNames) };
}
