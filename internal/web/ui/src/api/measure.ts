/**
 * Sizes in millimetres: the field card that a view shows, outlines and edges that the program
 * proposes, sizes that were read off, and printings of cards. Written after the Go structs of the
 * package app. All points are pixels of the original: pixel centres at integers, x to the right,
 * y down. `Frame` takes them to what is on the screen and back.
 */
import { get, post, put, readProblem } from './call';
import type { CalendarDate, ID, RecordSheet } from './types';

/** A point of the original, in pixels. */
export interface Pixel {
  x: number;
  y: number;
}

export type MeasurementKind = 'length' | 'curve' | 'outline' | 'across';
export type PrintHow = 'true to size' | 'control line' | 'nobody has said' | 'batch not known' | 'batch not listed' | (string & {});

/** ShownCard is what a view shows of the field card. */
export interface ShownCard {
  view: ID;
  /** The part of the original that the screen derivative shows */
  frame: ShownFrame;
  found: boolean;
  /** 'reference', 'pocket' or 'large' */
  layout: string;
  batch?: number;
  /** Nominal size of the card, mm */
  width: number;
  height: number;
  print: ShownPrint;
  /** The card's outline, from its upper left corner clockwise */
  edge: Pixel[];
  tags: ShownTag[];
  plane?: ShownPlane;
  /** Pixels of the original to a true millimetre, at the card's middle */
  pxPerMm: number;
  tiltDeg: number;
  cameraHeightMm: number;
  cameraHeightU95Mm: number;
  residualPx: number;
  bent: boolean;
  blurPx: number;
  finestPerMm: number;
  /** What can't be seen here, in words; '' where no tag tells */
  resolves: string;
  /** What is wrong, and how to take it again */
  problems: string[];
  /** The viewer may measure here */
  may: boolean;
  /** What a size can answer for this find */
  characters: SizeCharacter[];
  /** What a measured colour can answer for it */
  colours: SizeCharacter[];
}

/** ShownFrame is a part of a picture in pixels. */
export interface ShownFrame {
  left: number;
  top: number;
  width: number;
  height: number;
}

/** ShownTag is a tag that was found. */
export interface ShownTag {
  id: number;
  corners: Pixel[];
  covered: boolean;
}

/** ShownPlane is what `toImage` and `toCard` reckon with. */
export interface ShownPlane {
  h: number[];
  midX: number;
  midY: number;
  unit: number;
  centreX: number;
  centreY: number;
  radius: number;
}

/** SizeCharacter is a character that a size answers. */
export interface SizeCharacter {
  character: string;
  label: string;
  question: string;
  technical: string;
}

/** ShownPrint is how large a card was printed. */
export interface ShownPrint {
  /** In parts of its nominal size */
  scale: number;
  u: number;
  how: PrintHow;
  says: string;
}

/** GivenSize is a measurement as a screen sends it. */
export interface GivenSize {
  view: ID;
  kind: MeasurementKind;
  character?: string;
  /** One for each fruitbody */
  figures: GivenFigure[];
  /** The span in which what is measured lies above the card's plane, mm; below is negative */
  aboveFrom: number;
  aboveTo: number;
  /** It stands up over a lying card: refused with the reason and the remedy */
  standing?: boolean;
}

/** GivenFigure is one fruitbody's points. */
export interface GivenFigure {
  points: Pixel[];
  /** From a proposed outline; left out for points placed by hand */
  placing?: number;
}

/** ShownSize is a size that was read off a view. */
export interface ShownSize {
  id: ID;
  view: ID;
  kind: MeasurementKind;
  character: string;
  /** What was measured, in plain words: "Cap width" */
  label: string;
  /** "52 mm, give or take 2 mm, chiefly because of …"; of several fruitbodies their range */
  words: string;
  /** The trade's notation of several fruitbodies; '' of one */
  range: string;
  figures: ShownFigure[];
  aboveFrom: number;
  aboveTo: number;
  print: ShownPrint;
  by: string;
  /** The viewer may change it or take it back */
  may: boolean;
}

/** TriedSize is a size as it would be kept, or why it can't be reckoned. */
export interface TriedSize {
  size?: ShownSize;
  /** Why there is none and what to do; '' with a size */
  says: string;
}

/** ShownFigure is one fruitbody's size. */
export interface ShownFigure {
  points: Pixel[];
  placing?: number;
  mm: number;
  /** Half the interval that holds 95 % */
  u95Mm: number;
  /** Expanded uncertainty, k = 2 */
  expandedMm: number;
  words: string;
  /** Largest first */
  budget: ShownLine[];
  areaMm2?: number;
  areaU95Mm2?: number;
}

/** ShownLine is a line of an uncertainty budget. */
export interface ShownLine {
  source: string;
  uMm: number;
}

/** GivenStroke is a tap or a stroke inside a fruitbody. */
export interface GivenStroke {
  /** One point is a tap; at most 200 */
  stroke: Pixel[];
  /** Points beside it */
  outside?: Pixel[];
  /** Points of its edge, put there by hand */
  rim?: Pixel[];
  /** Greatest radius looked at, pixels; left out: 90 mm */
  reach?: number;
}

/** ProposedOutline is an outline as the program sees it; a person corrects it. */
export interface ProposedOutline {
  /** False: nothing is proposed, and `says` tells why and how to go on */
  found: boolean;
  points: Pixel[];
  /** Send it back with the outline */
  placing: number;
  contrast: number;
  /** How probable it is, 0 to 1, that it is the fruitbody's */
  sure: number;
  says: string;
}

/** GivenSnap asks for the strongest edge near one end of a length. */
export interface GivenSnap {
  at: Pixel;
  /** The length's other end: edges across that line are looked for */
  other: Pixel;
  /** Pixels of the original, 1 to 200 */
  within: number;
}

/** SnappedPoint is a point moved to an edge. */
export interface SnappedPoint {
  at: Pixel;
  /** False: no edge stands out, and the point is as it was */
  found: boolean;
  /** Its standard uncertainty in pixels: send the larger of two ends' back with the length */
  placing: number;
  /** Why no edge was found */
  says: string;
}

/** GivenCards asks for a sheet of field cards: a printing of its own. */
export interface GivenCards {
  id: ID;
  layout: 'pocket' | 'large';
  paper: 'A4' | 'Letter';
  several?: boolean;
  remark?: string;
  address?: string;
}

/** ShownBatch is a printing of field cards. */
export interface ShownBatch {
  id: ID;
  layout: string;
  name: string;
  number: number;
  paper: string;
  several: boolean;
  remark: string;
  made: CalendarDate;
  by: string;
  /** True length of the control line, mm; 0 while nobody measured it */
  controlLine: number;
  says: string;
  /** What is known of its colours, in a sentence */
  colours: string;
  /** An instrument measured its colours */
  measured: boolean;
  /** In how many views its cards were found */
  views: number;
  /** Colours read off its cards that are still to be measured anew since its own changed */
  toMeasure: number;
  /** Those that could not be */
  unmeasured: number;
}

const at = (id: ID) => encodeURIComponent(id);

/** viewCard asks what a view shows of the field card. */
export const viewCard = (view: ID, signal?: AbortSignal) => get<ShownCard>(`/views/${at(view)}/card`, { signal });

/** proposeOutline asks for the outline of what was tapped or stroked. */
export const proposeOutline = (view: ID, g: GivenStroke, signal?: AbortSignal) =>
  post<ProposedOutline>(`/views/${at(view)}/outline`, g, { signal });

/** snapPoint moves a point to the strongest edge near it. */
export const snapPoint = (view: ID, g: GivenSnap, signal?: AbortSignal) => post<SnappedPoint>(`/views/${at(view)}/snap`, g, { signal });

/** trySize reckons a size and keeps nothing. */
export const trySize = (g: GivenSize, signal?: AbortSignal) => post<TriedSize>('/sizes', g, { signal });

/** saveSize keeps a size under an identifier made here; sent again it replaces what was there. */
export const saveSize = (id: ID, g: GivenSize) => put<RecordSheet>(`/sizes/${at(id)}`, g);

/** takeBackSize takes a size back. */
export const takeBackSize = (id: ID) => post<RecordSheet>(`/sizes/${at(id)}/take-back`);

/** cardBatches lists the printings of cards. */
export const cardBatches = (signal?: AbortSignal) => get<ShownBatch[]>('/cards', { signal });

/** sayControlLine tells the true length of a printing's control line; 0 takes it back. */
export const sayControlLine = (id: ID, mm: number) => put<ShownBatch>(`/cards/${at(id)}/control-line`, { mm });

/** makeCards makes a sheet of cards, a printing of its own, and gives its name and PDF. */
export async function makeCards(g: GivenCards): Promise<{ name: string; pdf: Blob }> {
  const answer = await fetch('/api/cards', {
    method: 'POST',
    credentials: 'same-origin',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify(g),
  });
  if (!answer.ok) throw readProblem(answer.status, await answer.json().catch(() => undefined));
  const name = /filename="?([^";]+)/.exec(answer.headers.get('Content-Disposition') ?? '')?.[1] ?? 'cards.pdf';
  return { name, pdf: await answer.blob() };
}

/** A spot in the card's plane: nominal mm from the card's upper left corner. */
export interface Spot {
  x: number;
  y: number;
}

/** toImage tells where a spot of the card's plane is seen; null at or behind its horizon. */
export function toImage(p: ShownPlane, s: Spot): Pixel | null {
  const [h0, h1, h2, h3, h4, h5, h6, h7, h8] = numbers(p);
  const x = (s.x - p.midX) / p.unit;
  const y = (s.y - p.midY) / p.unit;
  const w = h6 * x + h7 * y + 1;
  if (!(w > 1e-9)) return null;
  const u = (h0 * x + h1 * y + h2) / w - p.centreX;
  const v = (h3 * x + h4 * y + h5) / w - p.centreY;
  const k = 1 + (h8 * (u * u + v * v)) / (p.radius * p.radius);
  return { x: p.centreX + u * k, y: p.centreY + v * k };
}

/** toCard tells which spot of the card's plane a pixel shows; null beyond the horizon. */
export function toCard(p: ShownPlane, q: Pixel): Spot | null {
  const [h0, h1, h2, h3, h4, h5, h6, h7, h8] = numbers(p);
  const du = q.x - p.centreX;
  const dv = q.y - p.centreY;
  let a = du;
  let b = dv;
  for (let n = 0; n < 12 && h8 !== 0; n++) {
    const k = 1 + (h8 * (a * a + b * b)) / (p.radius * p.radius);
    if (!(k > 0.2)) return null;
    a = du / k;
    b = dv / k;
  }
  const u = a + p.centreX;
  const v = b + p.centreY;
  // (h0 - u h6) x + (h1 - u h7) y = u - h2, and likewise for v: two lines that cross.
  const a1 = h0 - u * h6;
  const b1 = h1 - u * h7;
  const a2 = h3 - v * h6;
  const b2 = h4 - v * h7;
  const d = a1 * b2 - a2 * b1;
  const x = ((u - h2) * b2 - (v - h5) * b1) / d;
  const y = (a1 * (v - h5) - a2 * (u - h2)) / d;
  if (!Number.isFinite(x) || !Number.isFinite(y) || !(h6 * x + h7 * y + 1 > 1e-9)) return null;
  return { x: x * p.unit + p.midX, y: y * p.unit + p.midY };
}

function numbers(p: ShownPlane): [number, number, number, number, number, number, number, number, number] {
  if (p.h.length !== 9) throw new Error('a plane has nine numbers');
  return p.h as [number, number, number, number, number, number, number, number, number];
}

/** onScreen takes a point of the original to one of the screen derivative (or of any size at which the frame is shown), in its pixels from the upper left edge. */
export function onScreen(frame: ShownFrame, q: Pixel, width: number, height: number): Pixel {
  return { x: ((q.x + 0.5 - frame.left) / frame.width) * width, y: ((q.y + 0.5 - frame.top) / frame.height) * height };
}

/** inOriginal is the reverse of onScreen. */
export function inOriginal(frame: ShownFrame, q: Pixel, width: number, height: number): Pixel {
  return { x: (q.x / width) * frame.width + frame.left - 0.5, y: (q.y / height) * frame.height + frame.top - 0.5 };
}
