// Long lists of the desk: what an address asks of the server, and searching in what the browser has read.

/** How many lines stand on a leaf. */
export const LEAF = 50;

/** The query of a list; `from` is the first line of a leaf. */
export interface Asked {
  text: string;
  only: string;
  sort: string;
  from: number;
}

/** readAsked reads a query from an address; a leaf begins where leaves begin. */
export function readAsked(query: URLSearchParams): Asked {
  const n = Math.floor(Number(query.get('from') ?? 0) / LEAF) * LEAF;
  return {
    text: query.get('text') ?? '', only: query.get('only') ?? '', sort: query.get('sort') ?? '',
    from: Number.isFinite(n) && n > 0 ? n : 0,
  };
}

/** writeAsked writes a query for an address, without what says nothing. */
export function writeAsked(asked: Asked, limit = 0): string {
  const q = new URLSearchParams();
  for (const [k, v] of Object.entries({ ...asked, limit })) if (v !== '' && v !== 0) q.set(k, `${v}`);
  return q.size > 0 ? `?${q}` : '';
}

/** Makes text comparable: no capitals, no accents. */
export function plain(text: string): string {
  return text
    .normalize('NFD')
    .replace(/\p{M}/gu, '')
    .toLowerCase();
}

/** Whether every word that was typed occurs in one of the texts. */
export function answers(typed: string, ...texts: (string | undefined)[]): boolean {
  const words = plain(typed).split(/\s+/).filter(Boolean);
  if (words.length === 0) return true;
  const all = plain(texts.filter(Boolean).join('\n'));
  return words.every((w) => all.includes(w));
}

/** Items given one on each line; blank lines are none. */
export function linesOf(text: string): string[] {
  return text
    .split('\n')
    .map((l) => l.trim())
    .filter(Boolean);
}

/** Items given between commas or on lines. */
export function wordsOf(text: string): string[] {
  return text
    .split(/[,;\n]/)
    .map((l) => l.trim())
    .filter(Boolean);
}

/** A whole number from a field; 0 for a blank one, NaN for what is none. */
export function wholeOf(text: string): number {
  const t = text.trim();
  if (t === '') return 0;
  return /^\d{1,9}$/.test(t) ? Number(t) : NaN;
}
