import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { IntlMessageFormat } from 'intl-messageformat';
import { describe, expect, it } from 'vitest';
import de from './de';
import fr from './fr';
import { format, parse, pluralsOf, shapeOf, type Values } from './icu';
import { chosenIn } from './index';
import { pseudo } from './pseudo';

const src = fileURLToPath(new URL('..', import.meta.url));

function filesOf(folder: string): string[] {
  return readdirSync(folder).flatMap((name) => {
    const path = join(folder, name);
    if (statSync(path).isDirectory()) return filesOf(path);
    return /\.(svelte|ts)$/.test(name) && !/\.test\.ts$|^schema\.d\.ts$/.test(name) ? [path] : [];
  });
}

/** Every sentence that the sources say by t, and those that Go sends (its tests write them down in from-go). */
function said(): Set<string> {
  const out = new Set<string>();
  for (const file of filesOf(src)) {
    for (const found of readFileSync(file, 'utf8').matchAll(/\b[tm]\(\s*'((?:[^'\\]|\\.)*)'/g)) out.add(found[1]!.replace(/\\(.)/g, '$1'));
  }
  for (const file of readdirSync(join(src, 'words/from-go'))) for (const sentence of JSON.parse(readFileSync(join(src, 'words/from-go', file), 'utf8')) as string[]) out.add(sentence);
  return out;
}

const catalogues: [string, Record<string, string>][] = [['de', de], ['fr', fr]];
const all = said();

describe('the sentences of recorders', () => {
  it('are found in the sources', () => expect(all.size).toBeGreaterThan(450));

  it.each(catalogues)('are all there in %s, and no others', (_, words) => {
    expect([...all].filter((s) => words[s] === undefined)).toEqual([]);
    expect(Object.keys(words).filter((s) => !all.has(s))).toEqual([]);
  });

  it.each(['de', 'fr'])('stand once in %s: the same files, none twice', (tag) => {
    const files = readdirSync(join(src, 'words', tag)).filter((f) => f !== 'index.ts');
    expect(files).toEqual(readdirSync(join(src, 'words/de')).filter((f) => f !== 'index.ts'));
    const keys = files.flatMap((f) => [...readFileSync(join(src, 'words', tag, f), 'utf8').matchAll(/^  '((?:[^'\\]|\\.)*)':/gm)].map((found) => found[1]!));
    expect(keys.filter((k, n) => keys.indexOf(k) !== n)).toEqual([]);
    expect(keys.length).toBe(Object.keys(catalogues.find(([t]) => t === tag)![1]).length);
  });

  it.each(catalogues)('have the plurals that %s has (CLDR)', (tag, words) => {
    const whole: string[] = [...new Intl.PluralRules(tag).resolvedOptions().pluralCategories].filter((way) => Array.from({ length: 1000 }, (_, n) => n).some((n) => new Intl.PluralRules(tag).select(n) === way));
    for (const [english, other] of Object.entries(words)) {
      for (const ways of pluralsOf(other)) {
        expect(ways.filter((w) => !/^=\d+$/.test(w) && !whole.includes(w)), english).toEqual([]);
        expect(whole.filter((w) => !ways.includes(w)), english).toEqual([]);
      }
    }
  });

  it.each(catalogues)('take the same values in %s', (_, words) => {
    for (const [english, other] of Object.entries(words)) expect(shapeOf(other), english).toEqual(shapeOf(english));
  });

  it.each(catalogues)('are translated in %s', (_, words) => {
    // A sentence of several words that is the same in both languages was forgotten.
    const same = Object.entries(words).filter(([english, other]) => english === other && /[a-z]{2,} [a-z]{2,}/i.test(english));
    expect(same).toEqual([]);
  });

  it.each(catalogues)('end and begin alike in %s', (_, words) => {
    const end = (s: string) => /[.…?:]?$/.exec(s.replace(/[\u00a0 ](?=[:?]$)/, ''))![0];
    for (const [english, other] of Object.entries(words)) if (end(english) !== '') expect(end(other), english).toBe(end(english));
  });
});

/** Values of every sort for what a message takes. */
function valuesFor(message: string, n: number): Values {
  const out: Values = {};
  for (const part of shapeOf(message)) {
    const [name, kind] = part.split(', ');
    out[name!] = kind === 'plural' ? n : kind === 'select' ? 'top' : n % 2 === 0 ? `x{'${n}` : n;
  }
  return out;
}

describe('messages in the notation of ICU', () => {
  // intl-messageformat (FormatJS) is the reference.
  const trusted = (language: string, message: string, values: Values) => new IntlMessageFormat(message, language, undefined, { ignoreTag: true }).format(values);

  it('are written as the reference writes them', () => {
    let n = 0;
    for (const [language, words] of [['en-GB', Object.fromEntries([...all].map((s) => [s, s]))], ...catalogues] as [string, Record<string, string>][]) {
      for (const message of Object.values(words)) {
        for (const value of [0, 1, 2, 5, 21, 1234]) {
          const values = valuesFor(message, value);
          expect(format(language, message, values)).toBe(trusted(language, message, values));
          n++;
        }
      }
    }
    expect(n).toBeGreaterThan(5000);
  }, 120_000);

  it('know quoting, exact numbers, plurals in plurals and other rules of number', () => {
    for (const message of ["it''s {x}", "'{'{x}'}'", "don't", "{n, plural, =0 {none} one {'#' is #} other {# of {x}}}", '{n, plural, one {{m, plural, one {#} other {## in}}} other {#}}', '{n, plural, one {#} few {# few} many {# many} other {# other}}', '{s, select, top {upper {x}} other {any}}', "'{unclosed"]) {
      for (const language of ['en', 'pl', 'ar', 'fr', 'de']) {
        for (const n of [0, 1, 2, 3, 5, 11, 22, 100, 1_000_000]) {
          const values = { n, m: 2, x: 'y', s: n % 2 ? 'top' : 'side' };
          expect(format(language, message, values), `${language}: ${message}`).toBe(trusted(language, message, values));
        }
      }
    }
  });

  it.each(['{', '}', '{}', '{n', '{n,}', '{n, plural}', '{n, plural, one {x}}', '{n, select, other x}', '{n, date}', '{n, plural, other {x}'])('refuse %s, as the reference does or for what we leave out', (message) => {
    expect(() => parse(message)).toThrow();
  });
});

describe('the language for tests', () => {
  it('changes every letter, is longer, and leaves what is put in', () => {
    for (const message of all) {
      const told = format('en', pseudo(message), valuesFor(message, 3));
      expect(shapeOf(pseudo(message))).toEqual(shapeOf(message));
      expect(told.replace(/x\{'\d+|\d|top/g, ''), message).not.toMatch(/[a-z]{2}/i);
    }
    expect(format('en', pseudo('{n, plural, one {# view} other {# views}}'), { n: 2 })).toMatch(/^\[2 ṽíéŵš.*\]$/);
  });
});

describe('which language is spoken', () => {
  it.each([
    [null, ['de-AT', 'en'], 'de'],
    [null, ['nl', 'fr-CA'], 'fr'],
    [null, ['nl', 'it'], 'en'],
    [null, [], 'en'],
    [null, ['en-US', 'de'], 'en'],
    ['fr', ['de'], 'fr'],
    ['nonsense', ['de'], 'de'],
    ['en-XA', ['de'], 'en-XA'],
  ])('kept %s, browser %j: %s', (kept, browser, wanted) => expect(chosenIn(kept, browser)).toBe(wanted));
});
