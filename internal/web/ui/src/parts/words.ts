/** Words that several screens share: views, letters, days. */
import type { Ruling } from '../api/desk';
import type { ViewKind } from '../api/types';
import { dates, t } from '../words';

/** What is to be known of a kind of view wherever it is shown. */
export interface ViewWords {
  kind: ViewKind;
  letter: string;
  title: string;
  /** What a missing one would show. */
  would: string;
  /** What its missing outline says below. */
  missing: string;
  /** How to take it without touching, for a child of ten. */
  how: string;
  drawing: string;
  /** Steps that are drawn: name of the drawing and words. */
  steps?: Steps;
  /** How to take it where people may be asked to do something to it: only a ruling of the server's opens this. */
  doing?: { prompt: Ruling['prompt']; how: string; steps?: Steps };
}

type Steps = readonly (readonly [drawing: string, words: string])[];

/** Every kind in its fixed order; letters never change. */
export const views: readonly ViewWords[] = [
  { kind: 'top', letter: 'a', title: t('Top'), would: t('Would show the upper side: shape, colour, skin, rim.'), missing: t('Top: not taken'), how: t('Look straight down on the cap.'), drawing: 'view-top', steps: [['do-card', t('Lay the card beside it')], ['do-hand', t('A hand away; tap the cap on the screen')]] },
  { kind: 'side', letter: 'b', title: t('Side'), would: t('Would show the outline, the stem and any ring on it.'), missing: t('Side: not taken'), how: t('Get down low and look from the side, stem and all.'), drawing: 'view-side' },
  { kind: 'underneath', letter: 'c', title: t('Underneath'), would: t('Would show gills, pores or spines: how close, what colour, how they meet the stem.'), missing: t('Underneath: not taken'), how: t('Gills, pores or spines. Hold a small mirror or the phone under it; leave it standing.'), drawing: 'view-underneath', steps: [['do-mirror', t('Hold a mirror under it')], ['do-hand', t('A hand away; tap the gills on the screen')]], doing: { prompt: 'pick', how: t('Gills, pores or spines. One may be picked here, or hold a mirror under it.'), steps: [['do-turn', t('Turn it over')], ['do-card', t('Lay it on the card')], ['do-hand', t('A hand away; tap the gills on the screen')]] } },
  { kind: 'surroundings', letter: 'd', title: t('Surroundings'), would: t('Would show where it grows: trees, ground, wood.'), missing: t('Surroundings: not taken'), how: t('Step back two paces. Show the trees and the ground.'), drawing: 'view-surroundings' },
  { kind: 'cut', letter: 'e', title: t('Cut'), would: t('Would show hollow or solid, how the gills join, and whether the flesh changes colour.'), missing: t('Cut: not taken'), how: t('The inside of one that is broken already.'), drawing: 'view-cut', doing: { prompt: 'cut', how: t('A grown-up cuts one in half from top to bottom.') } },
  { kind: 'base', letter: 'f', title: t('Base'), would: t('Would show the foot of the stem: bulb, bag, root, threads.'), missing: t('Base: not taken'), how: t('The foot of the stem, as far as it shows above the ground.'), drawing: 'view-base', doing: { prompt: 'dig', how: t('Lift one whole with the ground it stands in, show the foot, and fill the hole again.') } },
  { kind: 'spore print', letter: 'g', title: t('Spore print'), would: t('Would show the colour of the spores in a heap.'), missing: t('Spore print: none made'), how: t('Spore dust that has fallen on leaves or caps below.'), drawing: 'view-spore-print', doing: { prompt: 'print', how: t('One cap over night, half on white paper, half on black; then in daylight.') } },
  { kind: 'close-up', letter: 'h', title: t('Close-up'), would: t('Would show scales, hairs, pores or powder from near by.'), missing: t('Close-up: not taken'), how: t('As near as the camera stays sharp.'), drawing: 'view-close-up' },
  { kind: 'micrograph', letter: 'i', title: t('Micrograph'), would: t('Would show spores or cells under the microscope.'), missing: t('Micrograph: not taken'), how: t('Through the microscope, with a scale if there is one.'), drawing: 'view-micrograph' },
];

/** The four asked of every find. */
export const fourViews: readonly ViewKind[] = ['top', 'side', 'underneath', 'surroundings'];

/** wordsOf returns the words for a kind of view. */
export function wordsOf(kind: ViewKind): ViewWords {
  return views.find((v) => v.kind === kind) ?? views[0]!;
}

/** orderOf is a kind's place in the fixed order. */
export function orderOf(kind: ViewKind): number {
  return views.findIndex((v) => v.kind === kind);
}

const day = dates({ weekday: 'long', day: 'numeric', month: 'long' });
const dayOfYear = dates({ weekday: 'long', day: 'numeric', month: 'long', year: 'numeric' });
const dayYear = dates({ day: 'numeric', month: 'long', year: 'numeric' });
const dayShort = dates({ day: 'numeric', month: 'short', year: 'numeric' });

function noonOf(date: string): Date | null {
  const read = new Date(`${date}T12:00:00Z`);
  return Number.isNaN(read.getTime()) ? null : read;
}

/**
 * dayWords writes "Saturday 10 October", with the year where it is another
 * than that of `today`. A day that cannot be read stays as it is.
 */
export function dayWords(date: string, today = date): string {
  const read = noonOf(date);
  if (!read) return date;
  return (date.slice(0, 4) === today.slice(0, 4) ? day : dayOfYear)(read).replace(',', '');
}

/** dateWords writes "10 October 2026". */
export function dateWords(date: string): string {
  const read = noonOf(date);
  return read ? dayYear(read) : date;
}

/** slipDate writes "10 Oct 2026", as on a slip. */
export function slipDate(date: string): string {
  const read = noonOf(date);
  return read ? dayShort(read) : date;
}

/** bytesWords writes a size for people: "840 kB", "12.4 MB". */
export function bytesWords(bytes: number): string {
  if (bytes < 1000) return t('{bytes} bytes', { bytes });
  if (bytes < 1e6) return t('{n} kB', { n: Math.round(bytes / 1000) });
  return t('{n} MB', { n: (bytes / 1e6).toFixed(bytes < 1e7 ? 1 : 0) });
}
