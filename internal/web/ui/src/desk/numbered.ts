// Photographs that come after the rows of a foray table: which find each goes to, by the number in its name or one that was typed.
import type { NamedFile, NumberedFind } from '../api/foray';
import type { ID, ViewKind, When } from '../api/types';
import { guessViews, inOrder } from '../recorder/guess';

/** A photograph that has been handed in and lies at no find yet. */
export interface Loose {
  /** Identifier of the photograph. */
  id: ID;
  fileName: string;
  taken?: When;
  /** Number typed for it; '' where its name says one, or nothing does. */
  typed: string;
  /** The number came along from a photograph before it, and gives way to another that does. */
  along: boolean;
  /** View that somebody chose; '' while it is guessed. */
  chosen: ViewKind | '';
  /** What the server read of name and number. */
  named: NamedFile | null;
  /** Why it could not be laid to its find. */
  fault: string;
}

/** One that has just arrived. */
export function loose(id: ID, fileName: string, taken: When | undefined): Loose {
  return { id, fileName, taken, typed: '', along: false, chosen: '', named: null, fault: '' };
}

/** By the time taken, then by name. */
export function lined(list: readonly Loose[]): Loose[] {
  return inOrder(list);
}

/** Whether a number stands by the photograph itself: typed for it, or in its name. */
function own(p: Loose): boolean {
  return (p.typed.trim() !== '' && !p.along) || (p.typed === '' && (p.named?.number ?? '') !== '');
}

/** The number that stands for a photograph, as typed or as in its name. */
export function numberOf(p: Loose): string {
  return p.typed.trim() !== '' ? p.typed.trim() : (p.named?.number ?? '');
}

/** typeNumber gives one photograph a number. */
export function typeNumber(list: readonly Loose[], id: ID, number: string): Loose[] {
  return list.map((p) => (p.id === id ? { ...p, typed: number, along: false, fault: '' } : p));
}

/**
 * goesOn gives the photographs after one its number, up to the next that has a
 * number of its own.
 */
export function goesOn(list: readonly Loose[], id: ID): Loose[] {
  const line = lined(list);
  const from = line.findIndex((p) => p.id === id);
  const number = from < 0 ? '' : numberOf(line[from]!);
  if (number === '') return [...list];
  const along = new Set<ID>();
  for (let i = from + 1; i < line.length && !own(line[i]!); i++) along.add(line[i]!.id);
  return list.map((p) => (along.has(p.id) ? { ...p, typed: number, along: true, fault: '' } : p));
}

/** The view of each photograph that goes to a find: chosen, or in its name, or guessed from the order round those. */
export function viewsOf(list: readonly Loose[], finds: readonly NumberedFind[]): Map<ID, ViewKind> {
  const out = new Map<ID, ViewKind>();
  for (const [record, group] of byFind(list)) {
    const taken: ViewKind[] = [...(finds.find((f) => f.record === record)?.views ?? [])];
    const guessed: Loose[] = [];
    for (const p of group) {
      const kind = p.chosen || p.named?.kind;
      if (kind) {
        out.set(p.id, kind);
        taken.push(kind);
      } else guessed.push(p);
    }
    for (const [id, kind] of guessViews(guessed, taken)) out.set(id, kind);
  }
  return out;
}

/** The photographs that go to each find, in their order. */
export function byFind(list: readonly Loose[]): Map<ID, Loose[]> {
  const out = new Map<ID, Loose[]>();
  for (const p of lined(list)) {
    const record = p.named?.record;
    if (record) out.set(record, [...(out.get(record) ?? []), p]);
  }
  return out;
}
