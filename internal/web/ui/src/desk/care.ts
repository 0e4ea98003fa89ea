/** Names that need care, in words: how sensitive, and what outsiders learn. */
import type { ShownProtection, Telling } from '../api/desk';
import { counted } from './counting';

export const CATEGORIES = [
  { value: '1', words: '1 extreme' },
  { value: '2', words: '2 high' },
  { value: '3', words: '3 medium' },
  { value: '4', words: '4 low' },
] as const;

/** What outsiders learn, the strictest first; 'area' stands for the rule that is left out. */
export const TELLINGS: readonly { value: Exclude<Telling, ''> | 'area'; words: string; says: string }[] = [
  { value: 'nothing', words: 'Nothing:', says: 'the find is in no deposit.' },
  { value: 'area', words: 'The season’s area and the month:', says: 'that it grows somewhere in it.' },
  { value: '10 km', words: 'The square of 10 km and the month:', says: 'no day, for the day tells the foray.' },
  { value: '1 km', words: 'The square of 1 km and the month:', says: 'where its neighbourhood may be known.' },
];

/** ruleWords tells the rule of a protected name in a line. */
export function ruleWords(p: ShownProtection): string {
  const tells = { nothing: 'Outsiders learn nothing', '': 'Outsiders get area and month', '10 km': 'Outsiders get the square of 10 km and the month', '1 km': 'Outsiders get the square of 1 km and the month' }[p.tells ?? ''];
  const category = CATEGORIES.find((c) => c.value === String(p.category))?.words ?? String(p.category);
  return `${tells}; ${p.touch ? 'touched as the site allows' : 'nobody touches it'}. Category ${category}. ${counted(p.finds, 'find bears', 'finds bear')} it.`;
}
