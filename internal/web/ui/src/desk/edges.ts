// Many edges on one map: where a mark stands, which marks have room, and how finely a line is drawn.
import type { LonLat } from '../api/desk';
import type { Flat, Point, Sight } from '../parts/map';

/** The middle of a ring's box, where its mark stands; null without corners. */
export function middle(ring: LonLat[] | undefined): LonLat | null {
  if (!ring || ring.length === 0) return null;
  let [west, south, east, north] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [lon, lat] of ring) {
    west = Math.min(west, lon);
    east = Math.max(east, lon);
    south = Math.min(south, lat);
    north = Math.max(north, lat);
  }
  return [(west + east) / 2, (south + north) / 2];
}

/** Those whose marks, in letters of a height in metres, lie over none of those before them. */
export function apart<T extends { at: Point; code: string }>(all: T[], height: number): T[] {
  const taken = new Set<string>();
  return all.filter((s) => {
    const [wide, high] = [Math.max(1, Math.ceil((s.code.length * 0.6 + 0.5) / 1.5)), 1];
    const x = Math.floor(s.at.x / (1.5 * height));
    const y = Math.floor(s.at.y / (1.5 * height));
    const cells: string[] = [];
    for (let i = -wide + 1; i < wide; i++) for (let j = -high + 1; j < high; j++) cells.push(`${x + i} ${y + j}`);
    if (cells.some((c) => taken.has(c))) return false;
    for (const c of cells) taken.add(c);
    return true;
  });
}

/** The step of detail for a sight: a power of two of metres, so that a line is written anew when the map is zoomed, not when it is moved. */
export function detailOf(px: number): number {
  return 2 ** Math.floor(Math.log2(px));
}

/**
 * A line in flat metres without the points that can't be told apart at a
 * detail: each that is left lies half a step or more from the one before. The
 * last stays.
 */
export function thinned(points: Point[], detail: number): Point[] {
  if (points.length < 200) return points;
  const least = (detail / 2) ** 2;
  const out: Point[] = [];
  let last: Point | undefined;
  points.forEach((p, i) => {
    if (last && i < points.length - 1 && (p.x - last.x) ** 2 + (p.y - last.y) ** 2 < least) return;
    out.push(p);
    last = p;
  });
  return out;
}

/** SVG path data of points in flat metres. */
export function pathOf(points: Point[], closed: boolean): string {
  return points.length === 0 ? '' : `M${points.map((p) => `${p.x.toFixed(1)} ${p.y.toFixed(1)}`).join('L')}${closed ? 'Z' : ''}`;
}

/** Indexes of the points that lie in sight, with a margin of a finger; none when there are more than `most`. */
export function inSight(points: Point[], sight: Sight, w: number, h: number, most: number): number[] {
  const dx = (w / 2 + 24) * sight.metresPerPixel;
  const dy = (h / 2 + 24) * sight.metresPerPixel;
  const out: number[] = [];
  for (let i = 0; i < points.length; i++) {
    const p = points[i]!;
    if (Math.abs(p.x - sight.x) > dx || Math.abs(p.y - sight.y) > dy) continue;
    if (out.length === most) return [];
    out.push(i);
  }
  return out;
}

/** Flat points of a line. */
export function flatPoints(line: LonLat[], flat: Flat): Point[] {
  return line.map((p) => flat.to(p[0], p[1]));
}
