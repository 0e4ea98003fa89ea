/** How far a picture shown large may be moved. */
import type { Point } from './map';

/** bounded keeps a picture zoomed in a frame of w by h from being dragged out of it. */
export function bounded(at: Point, zoom: number, w: number, h: number): Point {
  const x = Math.max(0, ((zoom - 1) * w) / 2);
  const y = Math.max(0, ((zoom - 1) * h) / 2);
  // Adding nought turns a negative nought into a plain one.
  return { x: Math.min(Math.max(at.x, -x), x) + 0, y: Math.min(Math.max(at.y, -y), y) + 0 };
}
