/** The further questions on a record that is kept: asked by the server, and out of reach on this device with what was taken along. */
import { get, post, refusalOf } from '../api/call';
import type { HeldKnown } from '../api/field';
import type { FindQuestions, GivenAnswer, ShownAnswer } from '../api/key';
import type { Choices, ViewKind } from '../api/types';
import { draftOfHeld, loadDraft, saidIn, saveDraft, withAnswer, type Draft, type DraftAnswer } from '../recorder/draft';
import { labelOf } from '../recorder/questions';
import { season } from '../season.svelte';
import { word } from '../words/said';
import { onTheSpot, type SpotAsked } from './checks';
import { heldRecord, waitingOf, type PhoneRecord } from './keep';
import { outbox } from './outbox.svelte';
import { answersOf } from './spot';

/** What is asked, and whether this device asks it: then what is answered is kept here, and sent when in reach. */
export interface More {
  asked: FindQuestions;
  here: boolean;
}

/** The characters that a draft holds as fields of the record. */
const ofTheRecord = ['form', 'substrate', 'habit', 'ripeness', 'smell', 'spore_print'];

/** askedHere is what is known of a record, with what waits of it on this phone. Where it was moved, what may be done to it there is not known. */
export function askedHere(known: HeldKnown, waits: Pick<PhoneRecord, 'draft' | 'originals'> | null, choices: Choices): SpotAsked {
  if (!waits) return known.asked;
  const d = waits.draft;
  const anew = new Set([...ofTheRecord, ...d.answers.map((a) => a.given.character)]);
  const said = saidIn(d);
  return {
    answers: [...(known.asked.answers ?? []).filter((a) => !anew.has(a.character)), ...answersOf(d, choices)],
    views: [...new Set<ViewKind>([...d.photographs, ...waits.originals].map((p) => p.kind))],
    may: ['place', 'found', 'fieldName'].some((field) => field in said) ? [] : known.asked.may,
  };
}

/** answeredHere lists what was answered, with what waits on this phone in place of what stood. */
export function answeredHere(known: HeldKnown, draft: Draft | null): ShownAnswer[] {
  const given = draft?.answers ?? [];
  const stand = known.answered.filter((a) => !given.some((g) => g.given.character === a.character));
  const mine = given.filter((a) => Object.keys(a.given).length > 1).map((a) => ({ character: a.given.character, label: word(a.label), answer: a.said, from: '', sizes: [] }));
  return [...stand, ...mine];
}

/** here asks on this device; null where the record was not taken along. Fails where the browser runs no such program. */
async function here(record: string, person: string): Promise<More | null> {
  const along = await heldRecord(person, record);
  const known = along?.record.known;
  if (!along || !known || !season.now) return null;
  const waits = await waitingOf(record);
  const mine = waits?.person === person ? waits : null;
  const spot = await onTheSpot(JSON.parse(JSON.stringify(askedHere(known, mine, season.now.choices))) as SpotAsked, along.key);
  const form = mine?.draft.form ?? along.record.editable.form ?? '';
  const group = form === (along.record.editable.form ?? '') ? known.group : labelOf(season.now.choices.form, form);
  return { asked: { ...(spot.asked as unknown as FindQuestions), group, answered: answeredHere(known, mine?.draft ?? null) }, here: true };
}

/** moreQuestions asks the server, and this device where the server is out of reach or answers still wait here. Fails with Refused. */
export async function moreQuestions(record: string, person: string): Promise<More> {
  const waits = (await waitingOf(record)) !== null ? await here(record, person).catch(() => null) : null;
  if (waits) return waits;
  try {
    return { asked: await get<FindQuestions>(`/records/${encodeURIComponent(record)}/questions`, { tries: season.away ? 1 : 3 }), here: false };
  } catch (thrown) {
    const refused = refusalOf(thrown);
    const more = refused.outOfReach ? await here(record, person).catch(() => null) : null;
    if (!more) throw refused;
    return more;
  }
}

/** keepHere keeps an answer on this phone, with what else waits of the record; false where the record was not taken along. */
async function keepHere(record: string, person: string, answer: DraftAnswer): Promise<boolean> {
  const along = await heldRecord(person, record);
  if (!along?.record.known) return false;
  const stands = along.record.known.answered.some((a) => a.character === answer.given.character);
  const waits = await waitingOf(record);
  await outbox.change(person, withAnswer(waits?.person === person ? waits.draft : draftOfHeld(along.record), answer, stands));
  // A form of the record that was begun, and not kept yet, would displace it.
  const begun = loadDraft(localStorage, person, record);
  if (begun) saveDraft(localStorage, person, record, withAnswer(begun, answer, stands));
  return true;
}

/** answerMore keeps an answer, where it was asked: one that says nothing takes back what was answered. Fails with Refused. */
export async function answerMore(record: string, person: string, more: More, answer: DraftAnswer): Promise<More> {
  if (!more.here) {
    try {
      const asked = await post<FindQuestions>(`/records/${encodeURIComponent(record)}/answers`, answer.given satisfies GivenAnswer);
      season.takeAnew();
      return { asked, here: false };
    } catch (thrown) {
      if (!refusalOf(thrown).outOfReach || !(await keepHere(record, person, answer))) throw thrown;
    }
  } else await keepHere(record, person, answer);
  return (await here(record, person).catch(() => null)) ?? { ...more, here: true };
}
