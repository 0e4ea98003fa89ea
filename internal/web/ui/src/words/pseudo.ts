/** A language for tests: English with accents on every letter, longer by two fifths, as German is, and in brackets. */
import { changed } from './icu';

const accents: Record<string, string> = {
  a: 'á', b: 'ƀ', c: 'ç', d: 'ð', e: 'é', f: 'ƒ', g: 'ĝ', h: 'ĥ', i: 'í', j: 'ĵ', k: 'ķ', l: 'ļ', m: 'ɱ', n: 'ñ', o: 'ó', p: 'þ', q: 'ɋ', r: 'ŕ', s: 'š', t: 'ţ', u: 'ú', v: 'ṽ', w: 'ŵ', x: 'ẋ', y: 'ý', z: 'ž',
};

const accented = (text: string): string =>
  text.replace(/[a-z]/gi, (c) => {
    const a = accents[c.toLowerCase()]!;
    return c === c.toLowerCase() ? a : a.toUpperCase();
  });

const longer = new Map<string, string>();

/** pseudo tells a message in that language; its arguments stay. */
export function pseudo(message: string): string {
  let out = longer.get(message);
  if (!out) {
    const letters = message.replace(/\{[^{}]*\}/g, '').length;
    const more = letters > 2 ? ` ${'öþ'.repeat(Math.ceil(letters / 10)).replace(/(.{6})(?=.)/g, '$1 ')}` : '';
    longer.set(message, (out = `[${changed(message, accented)}${more}]`));
  }
  return out;
}
