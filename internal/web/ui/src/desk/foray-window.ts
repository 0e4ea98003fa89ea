// Which rows of a long list are drawn: those that can be seen, a few round
// them, and the one that the keyboard is in.

/** A run of rows that is drawn, or the height of one that is not. */
export type Part = { row: number } | { gap: number; key: string };

/** Where each row begins, in pixels, and where the last one ends. */
export function offsetsOf(ids: readonly { id: string }[], base: number, taller: ReadonlyMap<string, number>): Float64Array {
  const out = new Float64Array(ids.length + 1);
  for (let i = 0; i < ids.length; i++) out[i + 1] = out[i]! + (taller.size > 0 ? (taller.get(ids[i]!.id) ?? base) : base);
  return out;
}

/** The row that holds a place, within what there is. */
export function rowAt(offsets: Float64Array, y: number): number {
  let low = 0;
  let high = offsets.length - 2;
  while (low < high) {
    const mid = (low + high + 1) >> 1;
    if (offsets[mid]! <= y) low = mid;
    else high = mid - 1;
  }
  return Math.max(0, low);
}

/** What is drawn of the rows between two heights; `held` stays drawn wherever it is. */
export function partsOf(offsets: Float64Array, top: number, bottom: number, held: number): Part[] {
  const n = offsets.length - 1;
  if (n <= 0) return [];
  const first = rowAt(offsets, top);
  const last = rowAt(offsets, bottom);
  const out: Part[] = [];
  let at = 0;
  const gapTo = (row: number, key: string) => {
    const gap = offsets[row]! - offsets[at]!;
    if (gap > 0) out.push({ gap, key });
    at = row;
  };
  const draw = (row: number) => {
    out.push({ row });
    at = row + 1;
  };
  if (held >= 0 && held < first) {
    gapTo(held, 'before-held');
    draw(held);
  }
  gapTo(first, 'before');
  for (let i = first; i <= last; i++) draw(i);
  if (held > last && held < n) {
    gapTo(held, 'to-held');
    draw(held);
  }
  gapTo(n, 'after');
  return out;
}
