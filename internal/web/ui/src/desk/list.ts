// Long lists of the desk: searching and leafing, on what the browser has read.

/** How many lines stand on a leaf. */
export const LEAF = 50;

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

/** The first line of the leaf that an address asks for, within what there is. */
export function leafFrom(asked: string | null, total: number): number {
  const n = Math.floor(Number(asked ?? 0) / LEAF) * LEAF;
  if (!Number.isFinite(n) || n < 0 || total === 0) return 0;
  return Math.min(n, Math.floor((total - 1) / LEAF) * LEAF);
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

/** The next free mark after those in use: S1, S2 → S3; F07 → F08. */
export function nextCode(codes: string[], letter: string): string {
  let most = 0;
  let width = 1;
  let lead = letter;
  for (const code of codes) {
    const m = /^([A-Za-z]*)(\d+)$/.exec(code);
    if (!m) continue;
    const n = Number(m[2]);
    if (n >= most) [most, width, lead] = [n, m[2]!.length, m[1]!];
  }
  return `${lead}${`${most + 1}`.padStart(width, '0')}`;
}

/** A whole number from a field; 0 for a blank one, NaN for what is none. */
export function wholeOf(text: string): number {
  const t = text.trim();
  if (t === '') return 0;
  return /^\d{1,9}$/.test(t) ? Number(t) : NaN;
}
