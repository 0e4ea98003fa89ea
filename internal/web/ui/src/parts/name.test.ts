import { describe, expect, it } from 'vitest';
import type { ShownName } from '../api/types';
import { partsOf, plainName } from './name';

// How names are written in open nomenclature: Sigovini et al. 2016,
// https://doi.org/10.1111/2041-210X.12594, table 2: "Genus cf. species".
const set = (name: ShownName, authorship = true) => partsOf(name, authorship).map((p) => `${p.set}:${p.text}`);

describe('partsOf', () => {
  it.each<[ShownName, string[]]>([
    [{ name: 'Galerina marginata', authorship: '(Batsch) Kühner' }, ['italic:Galerina marginata', 'authorship:(Batsch) Kühner']],
    [{ name: 'Galerina marginata', qualifier: 'cf.' }, ['italic:Galerina', 'qualifier:cf.', 'italic:marginata']],
    [{ name: 'Russula emetica', qualifier: 'agg.' }, ['italic:Russula emetica', 'qualifier:agg.']],
    [{ name: 'Mycena', qualifier: 'sp.', authorship: '(Pers.) Roussel' }, ['italic:Mycena', 'qualifier:sp.']],
    [{ name: 'Mycena', qualifier: 'cf.' }, ['qualifier:cf.', 'italic:Mycena']],
    [{ name: 'Amanita rubescens var. annulosulphurea' }, ['italic:Amanita rubescens', 'upright:var.', 'italic:annulosulphurea']],
    [{ name: '' , instead: 'No name yet' }, []],
  ])('%j', (name, parts) => expect(set(name)).toEqual(parts));
  it('leaves authorship out when asked', () => expect(set({ name: 'Mycena pura', authorship: '(Pers.) P. Kumm.' }, false)).toEqual(['italic:Mycena pura']));
  it('loses no word and adds none', () => {
    for (const name of ['A', 'A b', 'A b subsp. c f. d', '  A   b  ', '× b c']) {
      expect(partsOf({ name }).map((p) => p.text).join(' ')).toBe(name.trim().split(/\s+/).join(' '));
    }
  });
});

describe('plainName', () => {
  it('says what stands instead', () => expect(plainName({ instead: 'No name yet' })).toBe('No name yet'));
  it('writes the qualifier in its place', () => expect(plainName({ name: 'Galerina marginata', qualifier: 'aff.', authorship: 'X' })).toBe('Galerina aff. marginata'));
});
