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
