/**
 * What the server composes, in the language that is spoken here. Beside an English text it sends under `said`, by the
 * text's name, the words that it is made of and what they are filled with (science/said): these are written anew.
 */
import { dates, inline, language, locale, t } from '.';

/** A value as the server sends it: text as it is, a number, a sentence, a day, a list, or one with another first letter. */
type Value = string | number | { words: string; values?: Record<string, Value> } | { day: string; inSeason?: boolean } | { list: Value[]; by?: string } | { capital: Value } | { inside: Value } | { number: number; digits: number };

const whole = dates({ day: 'numeric', month: 'long', year: 'numeric' });
const inSeason = dates({ day: 'numeric', month: 'long' });
const month = dates({ month: 'long', year: 'numeric' });

function dayOf(v: { day: string; inSeason?: boolean }): string {
  const at = new Date(v.day.length === 7 ? `${v.day}-01T12:00:00Z` : `${v.day}T12:00:00Z`);
  if (Number.isNaN(at.getTime())) return v.day;
  return (v.day.length === 7 ? month : v.inSeason ? inSeason : whole)(at);
}

function listOf(list: string[], by: string): string {
  if (by === '-') return list.join('');
  if (by !== '' && by !== 'or') return list.join(by);
  if (language.startsWith('en-X')) return list.join(', ');
  return new Intl.ListFormat(locale, { type: by === 'or' ? 'disjunction' : 'conjunction' }).format(list);
}

const first = (text: string, change: (letter: string) => string): string => (text === '' ? '' : change([...text][0]!) + [...text].slice(1).join(''));

/** written writes a value of the server's. */
export function written(v: Value): string {
  if (typeof v !== 'object') return String(v);
  if ('words' in v) return sentence(v.words, v.values ?? {});
  if ('day' in v) return dayOf(v);
  if ('list' in v) return listOf(v.list.map(written), v.by ?? '');
  if ('capital' in v) return first(written(v.capital), (c) => c.toLocaleUpperCase(locale));
  if ('inside' in v) return inline(written(v.inside));
  return new Intl.NumberFormat(locale, { minimumFractionDigits: v.digits, maximumFractionDigits: v.digits }).format(v.number);
}

function sentence(words: string, values: Record<string, Value>): string {
  try {
    return t(words, Object.fromEntries(Object.entries(values).map(([name, v]) => [name, typeof v === 'number' ? v : written(v)])));
  } catch {
    return words; // a season's own words may hold braces
  }
}

/** word says a word of the vocabulary; a season's own stays as it is. */
export const word = (text: string): string => (text === '' ? '' : sentence(text, {}));

/** told writes anew all that an answer of the server's says; what was kept in another language becomes right again. */
export function told<T>(body: T): T {
  if (Array.isArray(body)) for (const x of body) told(x);
  else if (typeof body === 'object' && body !== null) {
    const thing = body as Record<string, unknown>;
    for (const [name, inner] of Object.entries(thing)) if (name !== 'said') told(inner);
    const { said } = thing;
    if (typeof said === 'object' && said !== null) for (const [name, v] of Object.entries(said)) thing[name] = Array.isArray(v) ? v.map(written) : written(v as Value);
  }
  return body;
}
