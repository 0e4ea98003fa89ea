// The geometry of measuring on a large view. Points of a view are pixels of the
// original; places on the stage are CSS pixels from its upper left corner.
import { inOriginal, onScreen, toCard, toImage, type Pixel, type ShownFrame, type ShownPlane, type SizeCharacter } from '../api/measure';
import { fitted, type Lie, type Size } from './zoom';
import { t } from '../words';
import { word } from '../words/said';

/** How a view lies on the stage: the part of the original that is shown, the stage, and the zoom. */
export interface Laid {
  part: ShownFrame;
  stage: Size;
  lie: Lie;
}

/** Where a pixel of the original lies on the stage. */
export function onStage(l: Laid, q: Pixel): Pixel {
  const fit = fitted(l.part, l.stage);
  const w = fit.width * l.lie.scale;
  const h = fit.height * l.lie.scale;
  const s = onScreen(l.part, q, w, h);
  return { x: l.stage.width / 2 + l.lie.x - w / 2 + s.x, y: l.stage.height / 2 + l.lie.y - h / 2 + s.y };
}

/** Which pixel of the original lies at a place on the stage, kept inside the picture. */
export function offStage(l: Laid, s: Pixel): Pixel {
  const fit = fitted(l.part, l.stage);
  const w = fit.width * l.lie.scale;
  const h = fit.height * l.lie.scale;
  if (w === 0 || h === 0) return inside(l.part, { x: l.part.left, y: l.part.top });
  return inside(l.part, inOriginal(l.part, { x: s.x - l.stage.width / 2 - l.lie.x + w / 2, y: s.y - l.stage.height / 2 - l.lie.y + h / 2 }, w, h));
}

/** A point moved to the nearest one inside a part of the original. */
export function inside(part: ShownFrame, q: Pixel): Pixel {
  const within = (v: number, from: number, size: number) => Math.min(from + size - 1, Math.max(from, v));
  return { x: within(q.x, part.left, part.width), y: within(q.y, part.top, part.height) };
}

/**
 * How far an arrow key moves a point, in pixels of the original; null for other
 * keys. `step` is what one press moves: two pixels of the screen, so that it is
 * the finer the larger the picture is made.
 */
export function stepOf(key: string, shift: boolean, step = 1): Pixel | null {
  const n = shift ? 10 * step : step;
  if (key === 'ArrowLeft') return { x: -n, y: 0 };
  if (key === 'ArrowRight') return { x: n, y: 0 };
  if (key === 'ArrowUp') return { x: 0, y: -n };
  if (key === 'ArrowDown') return { x: 0, y: n };
  return null;
}

/** The index of the point nearest to a place; -1 of none. */
export function nearest(points: Pixel[], to: Pixel): number {
  let best = -1;
  let least = Infinity;
  points.forEach((p, i) => {
    const d = Math.hypot(p.x - to.x, p.y - to.y);
    if (d < least) [best, least] = [i, d];
  });
  return best;
}

/**
 * Which points of an outline have a handle: all of a short one, about `most` of a
 * long one, evenly; and those put there by hand, which take the place of even
 * ones that lie close to them.
 */
export function handlesOf(count: number, most = 16, byHand: number[] = []): number[] {
  const n = Math.min(count, most);
  const even = Array.from({ length: n }, (_, i) => Math.floor((i * count) / n));
  const round = (a: number, b: number) => Math.min(Math.abs(a - b), count - Math.abs(a - b));
  return [...byHand, ...even.filter((i) => byHand.every((h) => round(h, i) > count / n / 2))].sort((a, b) => a - b);
}

/** How many handles an outline has room for, at least 40 CSS pixels apart: 4 to 20. `shown` is how many of them show a pixel of the original. */
export function roomFor(points: Pixel[], shown: number): number {
  let round = 0;
  points.forEach((p, i) => {
    const q = points[(i + 1) % points.length]!;
    round += Math.hypot(q.x - p.x, q.y - p.y);
  });
  return Math.min(20, Math.max(4, Math.floor((round * shown) / 40)));
}

/**
 * An outline pulled at one of its handles: the handle moves all the way, the
 * points between it and the neighbouring handles the less the further off.
 */
export function pulled(points: Pixel[], handles: number[], handle: number, by: Pixel): Pixel[] {
  const n = points.length;
  const k = handles.length;
  const at = handles[handle];
  if (at === undefined) return points;
  const before = k < 2 ? n : (at - handles[(handle - 1 + k) % k]! + n) % n || n;
  const after = k < 2 ? n : (handles[(handle + 1) % k]! - at + n) % n || n;
  return points.map((p, i) => {
    const on = (i - at + n) % n;
    const back = (at - i + n) % n;
    const share = Math.max(0, on < after ? 1 - on / after : 0, back < before ? 1 - back / before : 0);
    return share === 0 ? p : { x: p.x + by.x * share, y: p.y + by.y * share };
  });
}

/** A line of the grid: every tenth is drawn strongest. */
export interface GridLine {
  weight: 1 | 5 | 10;
  points: Pixel[];
}

/**
 * Lines over the card's plane, so many true mm apart, as far as `reach` mm round
 * the card or the part of the picture that is shown, whichever ends first.
 * `scale` is how large the card was printed, in parts of its nominal size.
 */
export function gridLines(plane: ShownPlane, part: ShownFrame, scale: number, step: number, reach = 300): GridLine[] {
  const corners = [
    { x: part.left, y: part.top },
    { x: part.left + part.width, y: part.top },
    { x: part.left, y: part.top + part.height },
    { x: part.left + part.width, y: part.top + part.height },
  ].map((q) => toCard(plane, q));
  const bound = (middle: number, of: (s: { x: number; y: number }) => number) => {
    const seen = corners.map((s) => (s ? of(s) * scale : null));
    const open = seen.includes(null);
    const all = seen.filter((v) => v !== null);
    const low = open ? middle - reach : Math.max(middle - reach, Math.min(...all));
    const high = open ? middle + reach : Math.min(middle + reach, Math.max(...all));
    return { low: Math.floor(low / step), high: Math.ceil(high / step) };
  };
  const xs = bound(plane.midX * scale, (s) => s.x);
  const ys = bound(plane.midY * scale, (s) => s.y);
  const out: GridLine[] = [];
  const line = (n: number, spot: (along: number) => { x: number; y: number }, from: number, to: number) => {
    const points: Pixel[] = [];
    // In pieces, since the lens bends lines and a line may pass the horizon.
    for (let i = 0; i <= 12; i++) {
      const s = spot(from + ((to - from) * i) / 12);
      const q = toImage(plane, { x: s.x / scale, y: s.y / scale });
      if (q) points.push(q);
    }
    const mm = Math.round(n * step);
    if (points.length > 1) out.push({ weight: mm % 10 === 0 ? 10 : mm % 5 === 0 ? 5 : 1, points });
  };
  for (let n = xs.low; n <= xs.high; n++) line(n, (along) => ({ x: n * step, y: along }), ys.low * step, ys.high * step);
  for (let n = ys.low; n <= ys.high; n++) line(n, (along) => ({ x: along, y: n * step }), xs.low * step, xs.high * step);
  return out;
}

/** The finest step of the grid, mm, whose lines lie at least 5 CSS pixels apart. */
export function gridStep(pxPerMm: number): 1 | 5 | 10 {
  return pxPerMm >= 5 ? 1 : pxPerMm >= 1 ? 5 : 10;
}

/** Answers to how high what is measured lies above the card, mm; below it is negative. */
export const HEIGHTS = [
  { name: 'level', says: t('Level with the card, within 2 mm'), from: -2, to: 2 },
  { name: 'below', says: t('Lower than the card, by up to 1 cm'), from: -10, to: 0 },
  { name: 'little', says: t('A little higher, up to 1 cm'), from: 0, to: 10 },
  { name: 'finger', says: t('About a finger’s breadth higher, 1 to 2 cm'), from: 10, to: 20 },
  { name: 'fingers', says: t('About two fingers’ breadth higher, 2 to 4 cm'), from: 20, to: 40 },
  { name: 'thumb', says: t('About as high as a thumb is long, 4 to 7 cm'), from: 40, to: 70 },
  { name: 'hand', says: t('About as high as a hand is wide, 7 to 11 cm'), from: 70, to: 110 },
  { name: 'mm', says: t('I measured it'), from: 0, to: 0 },
  { name: 'standing', says: t('It stands up, and the card lies flat'), from: 0, to: 0 },
] as const;

/** The name of an answer in HEIGHTS; '' while nobody has answered. */
export type Height = (typeof HEIGHTS)[number]['name'] | '';

/** The span of heights of an answer, or of the numbers typed in; null where it is not told. */
export function spanOf(answer: Height, from: number | null | undefined, to: number | null | undefined): { from: number; to: number } | null {
  const h = HEIGHTS.find((one) => one.name === answer);
  if (!h) return null;
  if (answer !== 'mm') return { from: h.from, to: h.to };
  if (typeof from !== 'number' || typeof to !== 'number' || !Number.isFinite(from + to)) return null;
  return { from: Math.min(from, to), to: Math.max(from, to) };
}

/** The answer that stands for a span of heights, numbers typed in where none does: the reverse of spanOf. */
export function heightOf(from: number, to: number): Height {
  return HEIGHTS.find((h) => h.name !== 'mm' && h.name !== 'standing' && h.from === from && h.to === to)?.name ?? 'mm';
}

/** What is told of a point that was moved. */
export function pointWords(name: string, q: Pixel): string {
  return t('{name}: {x} across, {y} down.', { name, x: Math.round(q.x), y: Math.round(q.y) });
}

/** The character as a choice: its plain label. */
export const characterWords = (c: SizeCharacter) => (c.technical && c.technical !== c.label ? `${word(c.label)} (${c.technical})` : word(c.label));

/** Points for the attribute of an SVG line. */
export const svgPoints = (points: Pixel[]) => points.map((p) => `${p.x.toFixed(1)},${p.y.toFixed(1)}`).join(' ');
