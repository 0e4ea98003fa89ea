// What is filled in on a slip before it is pasted: the draft, its keeping in
// the browser, and the words for it.

import type { GivenName, NameChoice } from '../api/types';

/** A slip that is being written. */
export type Draft = GivenName & { basis: string[] };

/** The bases that a slip offers, weakest first. */
export const BASES = ['photographs', 'description', 'specimen', 'microscope', 'sequence'] as const;

/** The qualifiers with the keys that set them. */
export const QUALIFIERS = [
  { sign: '', words: 'none', key: 'Q' },
  { sign: 'cf.', words: 'cf.', key: 'W' },
  { sign: 'aff.', words: 'aff.', key: 'E' },
  { sign: 'agg.', words: 'agg.', key: 'R' },
  { sign: 'sp.', words: 'sp.', key: 'T' },
] as const;

/** An empty slip; its id stays the same until it is pasted, so that sending twice is harmless. */
export function freshDraft(id: string, hasViews: boolean): Draft {
  return { id, name: '', qualifier: '', basis: [hasViews ? 'photographs' : 'description'], remark: '' } as Draft;
}

/** Whether somebody has written anything that would be missed. */
export function isWritten(d: Draft): boolean {
  return d.name.trim() !== '' || (d.remark ?? '').trim() !== '';
}

const at = (record: string) => `trug.slip.${record}`;

/** The slip kept for a find, or null. Anything unreadable counts as none. */
export function keptDraft(store: Pick<Storage, 'getItem'>, record: string): Draft | null {
  try {
    const text = store.getItem(at(record));
    if (!text) return null;
    const d = JSON.parse(text) as Partial<Draft>;
    if (typeof d.id !== 'string' || typeof d.name !== 'string' || !Array.isArray(d.basis)) return null;
    return { id: d.id, name: d.name, qualifier: d.qualifier ?? '', basis: d.basis.map(String), remark: d.remark ?? '' } as Draft;
  } catch {
    return null;
  }
}

/** Keeps the slip of a find in the browser, or forgets it when nothing is on it. */
export function keepDraft(store: Pick<Storage, 'setItem' | 'removeItem'>, record: string, d: Draft | null): void {
  try {
    if (d && isWritten(d)) store.setItem(at(record), JSON.stringify(d));
    else store.removeItem(at(record));
  } catch {
    // Without storage the slip lives as long as the page.
  }
}

/** The genus of what was typed: its first word with a capital, "" when there is none. */
export function genusOf(text: string): string {
  const word = text.trim().split(/\s+/)[0] ?? '';
  return /^\p{L}[\p{L}-]+$/u.test(word) ? word.charAt(0).toUpperCase() + word.slice(1).toLowerCase() : '';
}

/** Whether a name is written out, genus with its capital, and not in first letters. */
export function writtenOut(name: string): boolean {
  return /^×?\s?\p{Lu}[\p{L}-]{2,}/u.test(name.trim());
}

/** Whether the checklist knows the genus, by itself or before an epithet. */
export function genusOnChecklist(genus: string, choices: NameChoice[]): boolean {
  const wanted = genus.toLowerCase();
  return choices.some((c) => c.name.toLowerCase() === wanted || c.name.toLowerCase().startsWith(`${wanted} `));
}

/** Whether the text stands on the checklist, exactly as written. */
export function onChecklist(text: string, choices: NameChoice[]): NameChoice | undefined {
  const wanted = text.trim().toLowerCase();
  return choices.find((c) => c.name.toLowerCase() === wanted);
}

/**
 * Which completion is marked at once while somebody types, so that Tab or
 * Enter takes it: the exact name, else the first; none when a whole genus was
 * typed, for then the genus itself may be meant.
 */
export function firstMarked(text: string, choices: NameChoice[]): number {
  const typed = text.trim().toLowerCase();
  if (typed === '' || choices.length === 0) return -1;
  const exact = choices.findIndex((c) => c.name.toLowerCase() === typed);
  if (exact >= 0) return exact;
  return choices.some((c) => c.name.toLowerCase().startsWith(`${typed} `)) ? -1 : 0;
}

/** What a slip says, in one line: "Laccaria cf. amethystina". */
export function inWords(name: string, qualifier: string): string {
  const [genus = '', ...rest] = name.trim().split(/\s+/);
  if (!qualifier) return name.trim();
  if (qualifier === 'sp.') return `${genus} sp.`;
  if (qualifier === 'agg.' || rest.length === 0) return `${name.trim()} ${qualifier}`;
  return [genus, qualifier, ...rest].join(' ');
}
