/** Setting scientific names: which words stand in italics and which upright. */
import type { ShownName } from '../api/types';

/** A stretch of a name in one type. */
export interface NamePart {
  text: string;
  set: 'italic' | 'upright' | 'qualifier' | 'authorship';
}

// Words inside a name that are not part of it as a Latin word: ranks of the
// codes of nomenclature, open nomenclature, and the cross of hybrids.
const upright = new Set(['subsp.', 'ssp.', 'var.', 'f.', 'sect.', 'subg.', 'subgen.', 'cf.', 'aff.', 'agg.', 'sp.', 'spp.', 'group', '×']);

/**
 * partsOf splits a name for typesetting. Epithets are italic, ranks and
 * qualifiers upright; "cf." and "aff." stand before the last epithet, "agg."
 * and "sp." after the name; authorship comes last. Names above genus are set
 * in italics too, as the Madrid Code (2025) does.
 */
export function partsOf(name: ShownName, authorship = true): NamePart[] {
  const words = (name.name ?? '').split(/\s+/).filter((w) => w !== '');
  if (words.length === 0) return [];
  const parts: NamePart[] = [];
  const add = (text: string, set: NamePart['set']) => {
    const last = parts.at(-1);
    if (last && last.set === set && set === 'italic') last.text += ` ${text}`;
    else parts.push({ text, set });
  };
  const qualifier = name.qualifier ?? '';
  const before = qualifier === 'cf.' || qualifier === 'aff.' ? Math.max(words.length - 1, 0) : -1;
  words.forEach((word, i) => {
    if (i === before && words.length > 1) add(qualifier, 'qualifier');
    add(word, upright.has(word) ? 'upright' : 'italic');
  });
  if (before === 0) parts.unshift({ text: qualifier, set: 'qualifier' });
  if (qualifier === 'agg.' || qualifier === 'sp.') add(qualifier, 'qualifier');
  if (authorship && name.authorship && qualifier !== 'sp.') add(name.authorship, 'authorship');
  return parts;
}

/** plainName writes a name without types: for titles and labels read aloud. */
export function plainName(name: ShownName): string {
  const parts = partsOf(name, false);
  return parts.length === 0 ? (name.instead ?? '') : parts.map((p) => p.text).join(' ');
}
