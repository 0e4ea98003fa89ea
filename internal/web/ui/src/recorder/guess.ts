/** Which photograph shows what, when several are chosen at once: a guess that the recorder looks over. */
import type { ViewKind, When } from '../api/types';

/** A photograph as far as the guess needs it. */
export interface Timed {
  id: string;
  fileName: string;
  taken?: When;
}

/** The order in which photographs are usually taken. */
const usual: readonly ViewKind[] = ['top', 'side', 'underneath', 'surroundings', 'cut', 'base'];

function clock(when: When | undefined): string {
  return when?.date ? `${when.date}T${when.time ?? ''}` : '';
}

/** inOrder sorts by the time taken, then by name, figures in names counting as numbers. */
export function inOrder<T extends Timed>(photographs: readonly T[]): T[] {
  return [...photographs].sort((a, b) => {
    const x = clock(a.taken);
    const y = clock(b.taken);
    // Without a time, the name alone decides: mixing the two would scatter a series.
    if (x !== '' && y !== '' && x !== y) return x < y ? -1 : 1;
    return a.fileName.localeCompare(b.fileName, 'en', { numeric: true });
  });
}

/**
 * guessViews assigns the views not taken yet in their usual order; what is
 * left over is called a close-up.
 */
export function guessViews(photographs: readonly Timed[], taken: readonly ViewKind[] = []): Map<string, ViewKind> {
  const free = usual.filter((kind) => !taken.includes(kind));
  const guess = new Map<string, ViewKind>();
  inOrder(photographs).forEach((p, i) => guess.set(p.id, free[i] ?? 'close-up'));
  return guess;
}

/** guessAnew guesses for all photographs whose kind is still a guess, round those that are settled. */
export function guessAnew<T extends Timed & { kind: ViewKind; guessed?: boolean }>(photographs: readonly T[]): T[] {
  const settled = photographs.filter((p) => !p.guessed).map((p) => p.kind);
  const guess = guessViews(photographs.filter((p) => p.guessed), settled);
  return photographs.map((p) => (p.guessed ? { ...p, kind: guess.get(p.id) ?? p.kind } : p));
}

/**
 * changed gives a photograph another kind. When the only other one of that
 * kind is still a guess the two change places, so that a guess in the wrong
 * order is put right with one touch. What somebody has settled stays: then
 * there are two of a kind. What was touched counts as settled; the other stays
 * a guess, so that the same touch the other way undoes it, now or later.
 */
export function changed<T extends { id: string; kind: ViewKind; guessed?: boolean }>(photographs: readonly T[], id: string, kind: ViewKind): T[] {
  const mine = photographs.find((p) => p.id === id);
  if (!mine || mine.kind === kind) return [...photographs];
  const others = photographs.filter((p) => p.id !== id && p.kind === kind);
  const swap = others.length === 1 && others[0]!.guessed ? others[0]!.id : '';
  return photographs.map((p) => {
    if (p.id === id) return { ...p, kind, guessed: false };
    return p.id === swap ? { ...p, kind: mine.kind } : p;
  });
}

/** doubles lists the kinds that several photographs have. */
export function doubles(photographs: readonly { kind: ViewKind }[]): ViewKind[] {
  const counts = new Map<ViewKind, number>();
  for (const p of photographs) counts.set(p.kind, (counts.get(p.kind) ?? 0) + 1);
  return [...counts].filter(([, n]) => n > 1).map(([kind]) => kind);
}
