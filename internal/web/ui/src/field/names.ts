/** Completing a name that somebody types from the checklist that this phone holds: by its letters alone, in the order of the alphabet. */
import type { HeldName } from '../api/field';

/** How many names are offered at most. */
export const mostNames = 6;

const fold = (s: string) => s.trim().toLowerCase().normalize('NFD').replace(/\p{M}/gu, '').replace(/\s+/g, ' ');

/** completes tells that each typed word begins the word of the name in the same place; a single word may begin the epithet too. As the server's (app/determine.go). */
function completes(name: readonly string[], typed: readonly string[]): boolean {
  if (typed.length === 1 && name.length > 1 && name[1]!.startsWith(typed[0]!)) return true;
  return typed.length <= name.length && typed.every((word, i) => name[i]!.startsWith(word));
}

/** begins lists the names that what was typed may be the beginning of; none below three letters, and none once it is one of the names that nothing continues. */
export function begins(list: readonly HeldName[], typed: string): { names: HeldName[]; more: number } {
  const text = fold(typed);
  if (text.length < 3) return { names: [], more: 0 };
  const words = text.split(' ');
  const found = list.filter((n) => fold(n.name) !== text && completes(fold(n.name).split(' '), words));
  return { names: found.slice(0, mostNames), more: Math.max(0, found.length - mostNames) };
}
