// The Record book's query, as it stands in the address, and its facts in words.

/** What is looked for, how it is sorted, and from which line on. */
export interface Query {
  text: string;
  facts: string[];
  form: string;
  foray: string;
  site: string;
  /** '#a16d3f' that a measured colour is to come near to; '' for none. */
  colour: string;
  /** How near, CIEDE2000. */
  within: number;
  /** Name of a block that a measured colour is to bear, and the character that it answers. */
  colourName: string;
  colourOf: string;
  sort: string;
  from: number;
}

/** Lines on a page. */
export const PAGE = 50;

/** The whole book, newest number first. */
export const ALL: Query = { text: '', facts: [], form: '', foray: '', site: '', colour: '', within: 10, colourName: '', colourOf: '', sort: '-number', from: 0 };

/** How near a colour is to come, in words. */
export const SPANS = [
  { within: 3, words: '3: nearly the same' },
  { within: 5, words: '5: a small step' },
  { within: 10, words: '10: plainly akin' },
  { within: 20, words: '20: of that kind' },
] as const;

/** Parts whose colours are measured. */
export const PARTS = [
  { value: '', words: 'any part' },
  { value: 'cap_color', words: 'cap' },
  { value: 'gill_color', words: 'underside' },
  { value: 'stem_color', words: 'stem' },
  { value: 'flesh_color', words: 'flesh' },
] as const;

/** Facts that can be asked for, in plain words, in the order of the list. */
export const FACTS: { fact: string; words: string; about: 'views' | 'names' | 'place' }[] = [
  { fact: 'lacks:top', words: 'lacks a top view', about: 'views' },
  { fact: 'lacks:side', words: 'lacks a side view', about: 'views' },
  { fact: 'lacks:underneath', words: 'lacks a view from underneath', about: 'views' },
  { fact: 'lacks:surroundings', words: 'lacks the surroundings', about: 'views' },
  { fact: 'no-photograph', words: 'no photograph', about: 'views' },
  { fact: 'asked', words: 'more asked for', about: 'views' },
  { fact: 'no-name', words: 'no name yet', about: 'names' },
  { fact: 'one-opinion', words: 'one opinion', about: 'names' },
  { fact: 'differ', words: 'opinions differ', about: 'names' },
  { fact: 'held', words: 'waits for a second opinion', about: 'names' },
  { fact: 'microscope', words: 'name rests on microscope', about: 'names' },
  { fact: 'no-place', words: 'no place yet', about: 'place' },
  { fact: 'protected', words: 'place kept back', about: 'place' },
  { fact: 'mine', words: 'my own', about: 'place' },
];

/** A fact in plain words; a fact unknown here is shown as it is. */
export function factWords(fact: string): string {
  const known = FACTS.find((f) => f.fact === fact);
  if (known) return known.words;
  return fact.startsWith('lacks:') ? `lacks ${fact.slice(6)}` : fact;
}

/** Columns that sort, with what is asked of the server. */
export const COLUMNS = [
  { sort: 'number', words: 'number' },
  { sort: 'name', words: 'name' },
  { sort: 'date', words: 'date' },
  { sort: 'site', words: 'place' },
  { sort: 'recorder', words: 'recorder' },
] as const;

const DOWN = new Set(['number', 'date']);

/** How a column is sorted now, as aria-sort has it. */
export function sortedBy(sort: string, column: string): 'ascending' | 'descending' | 'none' {
  if (sort === column) return 'ascending';
  return sort === `-${column}` ? 'descending' : 'none';
}

/** The order after a click on a column's heading. Numbers and dates begin with the newest, and turn. */
export function nextSort(sort: string, column: string): string {
  if (!DOWN.has(column)) return column;
  return sort === `-${column}` ? column : `-${column}`;
}

/** Reads a query from an address; what it can't read it leaves at rest. */
export function readQuery(search: string): Query {
  const p = new URLSearchParams(search);
  const from = Number(p.get('from') ?? 0);
  const sort = p.get('sort') ?? ALL.sort;
  const colour = /^#[0-9a-f]{6}$/i.test(p.get('colour') ?? '') ? p.get('colour')! : '';
  const within = Number(p.get('within') ?? ALL.within);
  const known = COLUMNS.some((c) => c.sort === sort.replace(/^-/, '')) || (sort === 'colour' && colour !== '');
  return {
    text: p.get('text') ?? '',
    facts: [...new Set(p.getAll('fact').filter((f) => f !== ''))],
    form: p.get('form') ?? '',
    foray: p.get('foray') ?? '',
    site: p.get('site') ?? '',
    colour,
    within: within > 0 && within <= 100 ? within : ALL.within,
    colourName: p.get('colourName') ?? '',
    colourOf: p.get('colourOf') ?? '',
    sort: known ? sort : ALL.sort,
    from: Number.isInteger(from) && from > 0 ? from : 0,
  };
}

/** Writes a query for an address: "" or "?fact=no-name&…", always in the same order. */
export function writeQuery(q: Query, limit?: number): string {
  const p = new URLSearchParams();
  if (q.text) p.set('text', q.text);
  for (const f of q.facts) p.append('fact', f);
  if (q.form) p.set('form', q.form);
  if (q.foray) p.set('foray', q.foray);
  if (q.site) p.set('site', q.site);
  if (q.colour) p.set('colour', q.colour);
  if (q.colour && q.within !== ALL.within) p.set('within', String(q.within));
  if (q.colourName) p.set('colourName', q.colourName);
  if (q.colourOf) p.set('colourOf', q.colourOf);
  if (q.sort !== ALL.sort || limit) p.set('sort', q.sort);
  if (q.from > 0) p.set('from', String(q.from));
  if (limit) p.set('limit', String(limit));
  const s = p.toString();
  return s ? `?${s}` : '';
}

/** Whether anything is left out by the query. */
export function narrows(q: Query): boolean {
  return q.text !== '' || q.facts.length > 0 || q.form !== '' || q.foray !== '' || q.site !== '' || q.colour !== '' || q.colourName !== '' || q.colourOf !== '';
}

/** The place in the book in words: "1 to 50 of 242 records". */
export function position(from: number, shown: number, total: number): string {
  if (total === 0) return 'No records';
  if (shown === 0) return `None of ${total} records`;
  if (total === 1) return '1 record';
  if (shown === total) return `All ${total} records`;
  return `${from + 1} to ${from + shown} of ${total} records`;
}
