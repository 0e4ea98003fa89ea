/** The questions of a record in their order, what was answered, and where a fault belongs. */
import type { Choice, Choices, ViewKind } from '../api/types';
import { distanceWords } from '../parts/map';
import { dateWords, fourViews, wordsOf } from '../parts/words';
import type { Draft } from './draft';
import { t } from '../words';
import { word } from '../words/said';

/** Question names a step of the form. */
export type Question =
  | 'views' | 'form' | 'spot' | 'when' | 'where' | 'substrate' | 'habit' | 'number' | 'ripeness' | 'smell' | 'sporePrint' | 'name' | 'remarks' | 'said';

/**
 * questionsOf lists the steps for a draft. What hangs on standing before the find comes first; the spore print is asked
 * about only where one was photographed, and what is still worth looking at only of a new record: a kept one has its sheet for
 * that, and here only what was answered there out of reach.
 */
export function questionsOf(d: Draft): Question[] {
  const all: Question[] = ['views', 'form', 'spot', 'when', 'where', 'substrate', 'habit', 'number', 'ripeness', 'smell', 'sporePrint', 'name', 'remarks', 'said'];
  return all.filter((q) => q !== 'spot' || d.number === '' || d.answers.length > 0).filter((q) => q !== 'sporePrint' || d.sporePrint !== '' || d.photographs.some((p) => p.kind === 'spore print'));
}

/** viewsAsked lists the views that are asked of a find of a form, in the order in which they are taken; of any other find the four. */
export function viewsAsked(form: string, choices: Choices | undefined): readonly ViewKind[] {
  return choices?.form.find((c) => c.state === form)?.views ?? fourViews;
}

/** Short titles, for the overview and for those who listen. */
export const titles: Record<Question, string> = {
  views: t('Views'), spot: t('While you are here'), when: t('When'), where: t('Where'), form: t('Shape'), substrate: t('Grows on'), habit: t('How they grow'), number: t('How many'),
  ripeness: t('How ripe'), smell: t('Smell'), sporePrint: t('Spore print'), name: t('Name'), remarks: t('Remarks'), said: t('What you have said'),
};

/** labelOf finds the plain words of a state; free text stays as it is. */
export function labelOf(choices: readonly Choice[], state: string): string {
  return choices.find((c) => c.state === state)?.label ?? state;
}

/** saidOf writes an answer in words; '' when there is none. */
export function saidOf(q: Question, d: Draft, choices: Choices): string {
  switch (q) {
    case 'views':
      if (d.photographs.length === 0) return d.inTheHand ? t('No photograph: named in the hand.') : '';
      return `${d.photographs.map((p) => wordsOf(p.kind).title).join(', ')}.`;
    case 'when':
      return d.found.time ? `${dateWords(d.found.date)}, ${d.found.time.slice(0, 5)}` : dateWords(d.found.date);
    case 'where':
      return placeWords(d);
    case 'form':
      return labelOf(choices.form, d.form);
    case 'spot':
      return answersSaid(d).join('; ');
    case 'substrate': {
      const on = labelOf(choices.substrate, d.substrate);
      return d.host === '' ? on : on === '' ? d.host : `${on}; ${d.host}`;
    }
    case 'habit':
      return labelOf(choices.habit, d.habit);
    case 'number':
      return d.numberSeen > 0 ? String(d.numberSeen) : '';
    case 'ripeness':
      return labelOf(choices.ripeness, d.ripeness);
    case 'smell':
      return labelOf(choices.smell, d.smell);
    case 'sporePrint':
      return labelOf(choices.sporePrint, d.sporePrint);
    case 'name':
      if (d.fieldName === '') return d.nameUnknown ? t('I don’t know') : '';
      return d.namedBy === '' ? d.fieldName : t('{fieldName}, named by {namedBy}', { fieldName: d.fieldName, namedBy: d.namedBy });
    case 'remarks':
      return d.remarks;
    case 'said':
      return '';
  }
}

/** answersSaid writes each answer that was given on the spot, with what it answers. */
const answersSaid = (d: Draft): string[] => d.answers.map((a) => `${word(a.label)}: ${a.said || t('taken back')}`);

/** soFar lists what was said of how a find looks, for languages that the server writes no description in. */
export function soFar(d: Draft, choices: Choices): string {
  const looks: Question[] = ['form', 'substrate', 'habit', 'ripeness', 'smell', 'sporePrint'];
  return [...looks.map((q) => [titles[q], saidOf(q, d, choices)] as const).filter(([, said]) => said !== '').map(([title, said]) => `${title}: ${said}`), ...answersSaid(d)].join('; ');
}

function placeWords(d: Draft): string {
  if (d.placeSaid === 'unknown') return t('Don’t know yet');
  if (!d.place) return '';
  const garden = d.garden ? `. ${t('Our own garden: kept back')}` : '';
  const at = d.place.source === 'text' && d.place.text ? d.place.text : `${d.place.lat.toFixed(5)}, ${d.place.lon.toFixed(5)}`;
  const from = { camera: t('from the camera'), phone: t('where you were'), pin: t('pin on the map'), text: t('typed') }[d.place.source] ?? '';
  return (d.place.uncertainty ? t('{at}, to {uncertainty} ({from})', { at, uncertainty: distanceWords(d.place.uncertainty), from }) : `${at} (${from})`) + garden;
}

const homes: Record<string, Question> = {
  found: 'when', place: 'where', garden: 'where', form: 'form', substrate: 'substrate', host: 'substrate', habit: 'habit', numberSeen: 'number',
  answers: 'spot', ripeness: 'ripeness', smell: 'smell', sporePrint: 'sporePrint', fieldName: 'name', namedBy: 'name', remarks: 'remarks', views: 'views', kinds: 'views',
};

/** homeOf tells which question a field of the server's belongs to: "views.2" to the views. */
export function homeOf(field: string): Question | null {
  return homes[field.split('.')[0] ?? ''] ?? null;
}

/** Which forms are shown before "Another form". */
export const commonForms = ['gilled', 'bolete', 'bracket', 'crust', 'puffball', 'club', 'coral', 'cup', 'jelly', 'chanterelle'];

/** Which substrates are shown before "Something else". */
export const commonSubstrates = ['soil', 'litter_leaf', 'litter_needle', 'moss', 'grass', 'living_tree', 'dead_standing', 'dead_fallen', 'dead_branch', 'stump', 'buried_wood', 'dung'];

/** Which smells are shown before "More smells". */
export const commonSmells = ['none', 'mushroomy', 'mealy', 'anise', 'radish', 'garlic', 'fruity', 'earth', 'carrion'];

/** split puts the common answers first and the rest behind a button; without any in common, all are shown. */
export function split(choices: readonly Choice[], common: readonly string[]): { first: Choice[]; rest: Choice[] } {
  const first = common.map((s) => choices.find((c) => c.state === s)).filter((c): c is Choice => c !== undefined);
  if (first.length === 0) return { first: [...choices], rest: [] };
  return { first, rest: choices.filter((c) => !common.includes(c.state)) };
}

/** clockNow is a device's clock as "15:04" with its offset. */
export function clockNow(now: Date): { time: string; offset: string } {
  const two = (n: number) => String(Math.trunc(n)).padStart(2, '0');
  const east = -now.getTimezoneOffset();
  return {
    time: `${two(now.getHours())}:${two(now.getMinutes())}`,
    offset: `${east < 0 ? '-' : '+'}${two(Math.abs(east) / 60)}:${two(Math.abs(east) % 60)}`,
  };
}
