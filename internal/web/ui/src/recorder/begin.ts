/** Beginning a new record, or going on with the one that was begun; and whether it is somebody's first. */
import { begunWithout } from '../field/remnants';
import { leftTheForm } from '../field/keep';
import { season } from '../season.svelte';
import { uuidv7 } from '../uuidv7';
import { dropDraft, emptyDraft, loadDraft, saveDraft, type Draft, type Keep } from './draft';
import { clockNow } from './questions';

/** begunDraft returns the new record that somebody has begun, null where there is none; one that was laid aside comes after the other. */
export function begunDraft(person: string, keep: Keep = localStorage): Draft | null {
  const begun = loadDraft(keep, person, 'new');
  const aside = begun ? null : loadDraft(keep, person, 'aside');
  if (aside && saveDraft(keep, person, 'new', aside)) dropDraft(keep, person, 'aside');
  return begun ?? aside;
}

/** newDraft returns the draft of a new record, and whether it was begun before. */
export async function newDraft(person: string): Promise<{ draft: Draft; resumed: boolean }> {
  const before = begunDraft(person);
  // A phone that went dark may have kept the record and not yet forgotten its draft.
  const left = before !== null && (await leftTheForm(before.id));
  if (left) dropDraft(localStorage, person, 'new');
  if (before && !left) return { draft: before, resumed: true };
  return { draft: emptyDraft((await begunWithout(person)) || uuidv7(), { date: season.now?.today ?? '', time: clockNow(new Date()).time }), resumed: false };
}

const key = (person: string) => `trug.first.${person}`;

/** wasShown tells that somebody has made a record on this device, or said that they know how. */
export function wasShown(person: string): boolean {
  try {
    return localStorage.getItem(key(person)) !== null;
  } catch {
    return true; // where nothing is kept, nobody is shown the same thing every time
  }
}

/** noteShown notes so. */
export function noteShown(person: string): void {
  try {
    localStorage.setItem(key(person), 'shown');
  } catch {
    // It is offered again, which harms nobody.
  }
}
