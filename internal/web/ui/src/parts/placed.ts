// The points of one fruitbody that is measured.
import type { GivenFigure, MeasurementKind, Pixel } from '../api/measure';

/** The points of one fruitbody, in pixels of the original. */
export interface Placed {
  points: Pixel[];
  /** Standard uncertainty of each point in pixels; 0 where that is not known. */
  placing: number[];
  /** The tap or stroke that an outline was proposed from. */
  stroke: Pixel[];
  /** Which of its points were put on the edge by hand. */
  rim: number[];
}

/** Nothing placed yet. */
export const start = (): Placed => ({ points: [], placing: [], stroke: [], rim: [] });

/** Whether a tool reads a closed line. */
export const outlined = (tool: MeasurementKind) => tool === 'outline' || tool === 'across';

/** How many points a tool needs. */
export const leastOf = (tool: MeasurementKind) => (outlined(tool) ? 3 : 2);

/**
 * Standard uncertainty of a point placed by hand, in pixels of the original: a pixel
 * of the screen, of which `shown` show a pixel of the original, but at least the 1.2
 * pixels that science/measure takes (judged, no source).
 */
export const byHand = (shown: number) => Math.round(10 * Math.max(1.2, 1 / Math.max(shown, 0.01))) / 10;

/** What is sent of it: one uncertainty for all points, that of the worst; left out where one is not known. */
export function togetherTold(f: Placed): GivenFigure {
  const told = f.placing.length > 0 && f.placing.every((u) => u > 0);
  return { points: f.points, ...(told ? { placing: Math.max(...f.placing) } : {}) };
}

/** A place on the line through points: behind which of them it lies, and how far off the place asked about is. */
interface Beside {
  after: number;
  at: Pixel;
  off: number;
}

/** Where a line, closed or open, lies nearest to a place; null of fewer than two points. */
export function beside(points: Pixel[], closed: boolean, q: Pixel): Beside | null {
  let best: Beside | null = null;
  const n = points.length;
  for (let i = 0; i < (closed && n > 2 ? n : n - 1); i++) {
    const [a, b] = [points[i]!, points[(i + 1) % n]!];
    const along = { x: b.x - a.x, y: b.y - a.y };
    const whole = along.x ** 2 + along.y ** 2;
    const t = whole > 0 ? Math.min(1, Math.max(0, ((q.x - a.x) * along.x + (q.y - a.y) * along.y) / whole)) : 0;
    const at = { x: a.x + t * along.x, y: a.y + t * along.y };
    const off = Math.hypot(q.x - at.x, q.y - at.y);
    if (!best || off < best.off) best = { after: i, at, off };
  }
  return best;
}

/** A figure with one more point on its line, behind another; an outline's is one that was put there by hand. */
export function withPoint(f: Placed, after: number, at: Pixel, placing: number, closed: boolean): Placed {
  const i = after + 1;
  const rim = f.rim.map((r) => (r >= i ? r + 1 : r));
  return { ...f, points: f.points.toSpliced(i, 0, at), placing: f.placing.toSpliced(i, 0, placing), rim: closed ? [...rim, i] : rim };
}

/**
 * A figure without one of its points. Of an outline go all between the handles on
 * either side, so that the line runs straight there; null where too little would be left.
 */
export function withoutPoint(f: Placed, at: number, handles: number[], closed: boolean): Placed | null {
  const k = handles.indexOf(at);
  if (k < 0) return null;
  const from = closed ? handles.at(k - 1)! : at - 1;
  const to = closed ? handles[(k + 1) % handles.length]! : at + 1;
  const goes = (i: number) => (from < to ? i > from && i < to : i > from || i < to);
  const kept = f.points.flatMap((_, i) => (goes(i) ? [] : [i]));
  if (kept.length < (closed ? 4 : 1)) return null;
  return { ...f, points: kept.map((i) => f.points[i]!), placing: kept.map((i) => f.placing[i]!), rim: f.rim.flatMap((r) => (goes(r) ? [] : [kept.indexOf(r)])) };
}
