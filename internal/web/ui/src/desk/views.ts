// How the views of a find are laid out on the table.

import type { RecordSheet, ShownView, ViewKind } from '../api/types';
import { orderOf } from '../parts/words';

/** A place on the bench: a view, or the outline of a missing one. */
export interface Laid {
  kind: ViewKind;
  view: ShownView | null;
  /** Why a view that is there is not shown. */
  withheld?: string;
}

/** The views of a find with outlines for the missing ones, in the fixed order. */
export function laidOut(sheet: Pick<RecordSheet, 'views' | 'misses' | 'withheld'>): Laid[] {
  const withheld = (sheet.withheld ?? []).map((w): Laid => ({ kind: w.kind, view: null, withheld: w.says }));
  const all: Laid[] = [...sheet.views.map((view) => ({ kind: view.kind, view })), ...withheld, ...sheet.misses.map((kind) => ({ kind, view: null }))];
  return all.sort((a, b) => orderOf(a.kind) - orderOf(b.kind));
}

/**
 * Parts the surroundings from the rest: they keep their own scale and lie
 * below, unless nothing else was taken.
 */
export function parted(all: Laid[]): { bench: Laid[]; surroundings: Laid[] } {
  const around = all.filter((l) => l.kind === 'surroundings');
  const rest = all.filter((l) => l.kind !== 'surroundings');
  return rest.length === 0 ? { bench: around, surroundings: [] } : { bench: rest, surroundings: around };
}
