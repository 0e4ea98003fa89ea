/**
 * Colours measured in views through the field card. Written after the Go structs of the package
 * app. Points are pixels of the original, as in measure.ts.
 */
import { language, t } from '../words';
import { post, put, readProblem } from './call';
import type { Pixel, ShownBatch } from './measure';
import type { ID, RecordSheet } from './types';

export type ColourWay = 'tap' | 'brush' | 'outline';
export type Treatment = '' | 'bruised' | 'potash' | 'iron salt' | 'ammonia' | 'dried';

/** GivenColour is a colour as a screen asks for it. */
export interface GivenColour {
  view: ID;
  way: ColourWay;
  points: Pixel[];
  /** Of a tap or brush, in pixels of the original */
  radius?: number;
  /** The kept size whose outline was taken */
  size?: ID;
  character?: string;
  treatment?: Treatment;
  /** The colour of the same part before that */
  before?: ID;
}

/** ShownColour is a colour that was measured in a view. */
export interface ShownColour {
  id: ID;
  view: ID;
  way: ColourWay;
  points: Pixel[];
  radius?: number;
  size?: ID;
  character: string;
  /** What is of that colour, in plain words */
  label: string;
  treatment: Treatment;
  before?: ID;
  /** False where the light allows no number: then there is advice alone */
  known: boolean;
  mean: ShownTone;
  palette: ShownTone[];
  /** Shares, 0 to 1, that were left out as shine and as edge */
  highlights: number;
  edges: number;
  advice: ShownAdvice[];
  /** How it was corrected, and what that rests on */
  corrected: string;
  greysOnly: boolean;
  change?: ShownChange;
  /** Why it would come out otherwise now; '' where it would not */
  old: string;
  by: string;
  may: boolean;
  /** The viewer may fill the description from it */
  fills: boolean;
}

/** ShownTone is one colour. Its swatch never stands without its name. */
export interface ShownTone {
  swatch: string;
  /** Screens can't show it; the nearest stands there */
  outOfScreen?: boolean;
  name: string;
  /** L*, a*, b* relative to D65 */
  lab: number[] | null;
  labD50: number[] | null;
  /** CIEDE2000 that 95 % of it stays within */
  giveOrTake: number;
  /** The same in words */
  sure: string;
  munsell: string;
  ridgway: string;
  ridgwayOff: number;
  share: number;
  where: string;
  clipped?: boolean;
}

/** ShownAdvice is what the light asks for. */
export interface ShownAdvice {
  condition: string;
  text: string;
  stops: boolean;
}

/** ShownChange is what a treatment did to a colour. */
export interface ShownChange {
  difference: number;
  giveOrTake: number;
  sure: boolean;
  words: string;
  from: ShownTone;
}

/** ShownTogether is a colour joined from several views. */
export interface ShownTogether {
  character: string;
  label: string;
  views: number;
  agree: boolean;
  tone: ShownTone;
}

const at = (id: ID) => encodeURIComponent(id);

/** tryColour measures a colour and keeps nothing. */
export const tryColour = (g: GivenColour, signal?: AbortSignal) => post<ShownColour>('/colours', g, { signal });

/** saveColour keeps a colour under an identifier made here; sent again it replaces what was there. */
export const saveColour = (id: ID, g: GivenColour) => put<RecordSheet>(`/colours/${at(id)}`, g);

/** takeBackColour takes a colour back. */
export const takeBackColour = (id: ID) => post<RecordSheet>(`/colours/${at(id)}/take-back`);

/** describeFrom fills the description from a colour. */
export const describeFrom = (id: ID) => post<RecordSheet>(`/colours/${at(id)}/describe`);

/** correctedView is the address of a view as its card corrects it. */
export const correctedView = (view: ID) => `/api/views/${at(view)}/corrected`;

/** cardColours is the address of a printing's table as it was handed in. */
export const cardColours = (batch: ID) => `/api/cards/${at(batch)}/colours`;

/** sayCardColours takes in what an instrument measured of a printing's patches; '' takes it back. */
export async function sayCardColours(batch: ID, table: string): Promise<ShownBatch> {
  const answer = await fetch(cardColours(batch), { method: 'PUT', credentials: 'same-origin', headers: { 'Content-Type': 'text/csv' }, body: table });
  const body: unknown = await answer.json().catch(() => undefined);
  if (!answer.ok) throw readProblem(answer.status, body);
  return body as ShownBatch;
}

/** labWords writes L*, a*, b*: "L* 55, a* 14, b* 31". */
export const labWords = (t: ShownTone) => {
  const [l = 0, a = 0, b = 0] = t.lab ?? [];
  const whole = (v: number) => Math.round(v).toString().replace('-', '−').replace('−0', '0');
  return `L* ${whole(l)}, a* ${whole(a)}, b* ${whole(b)}`;
};

/** shareWords writes a part of a place: "about 70 %". */
export const shareWords = (share: number) => (share >= 0.995 ? t('all of it') : t('about {n} %', { n: Math.max(1, Math.round(share * 100)) }));


const zones: Record<string, string> = { centre: t('centre'), 'middle zone': t('middle zone'), rim: t('rim'), 'here and there': t('here and there'), 'all over': t('all over') };
const changes: Record<string, string> = {
  'hardly changed': t('hardly changed'), 'no change that can be told from the uncertainty': t('no change that can be told from the uncertainty'), slightly: t('slightly'), clearly: t('clearly'), strongly: t('strongly'),
  lighter: t('lighter'), darker: t('darker'), 'more vivid': t('more vivid'), duller: t('duller'), redder: t('redder'), yellower: t('yellower'), greener: t('greener'), bluer: t('bluer'), 'more purple': t('more purple'),
};

/** whereWords says where on the fungus a colour sits: "the rim", "centre and middle zone". */
export const whereWords = (where: string): string => (language === 'en' ? where : where.split(' and ').map((z) => zones[z] ?? z).join(', '));

/** changeWords says what became of a colour: "clearly darker and bluer". */
export function changeWords(words: string): string {
  if (language === 'en' || changes[words]) return changes[words] ?? words;
  const [much, ...ways] = words.split(' ');
  return `${changes[much!] ?? much} ${ways.join(' ').split(' and ').map((w) => changes[w] ?? w).join(', ')}`;
}
