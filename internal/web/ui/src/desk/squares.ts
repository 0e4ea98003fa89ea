// Shading, legend and scale bar of the Squares map.

/** Shades above none. */
export const SHADES = 6;

/**
 * The lowest count of each shade, 1 to 6, for a map whose fullest square
 * holds `most` records. The steps grow by an equal factor, so that both the
 * many squares with few and the few with many can be told apart.
 */
export function shadeFloors(most: number): number[] {
  const floors: number[] = [];
  if (!Number.isFinite(most) || most < 1) return floors;
  for (let i = 0; i < SHADES; i++) {
    const at = Math.max((floors[i - 1] ?? 0) + 1, Math.ceil(Math.pow(most, i / SHADES) - 1e-9));
    if (at > most) break;
    floors.push(at);
  }
  return floors;
}

/** The shade 1 to 6 of a count, 0 for none. Few shades are spread over the ramp. */
export function shadeOf(count: number, floors: number[]): number {
  let step = 0;
  for (const floor of floors) if (count >= floor) step++;
  if (step === 0 || floors.length === 1) return step === 0 ? 0 : 3;
  return 1 + Math.round(((step - 1) * (SHADES - 1)) / (floors.length - 1));
}

/** A legend line of each shade: "1", "2 to 4", "9 to 16". */
export function legend(floors: number[], most: number): { shade: number; words: string }[] {
  return floors.map((low, i) => {
    const high = (floors[i + 1] ?? most + 1) - 1;
    return { shade: shadeOf(low, floors), words: low === high ? `${low}` : `${low} to ${high}` };
  });
}

/** A side of a square in words: "100 m", "1 km". */
export function sideWords(side: number): string {
  return side >= 1000 ? `${side / 1000} km` : `${side} m`;
}

/** The middle of a ring of corners, as longitude and latitude. */
export function middle(ring: readonly (readonly [number, number])[]): [number, number] {
  const open = ring.length > 1 && same(ring[0], ring[ring.length - 1]) ? ring.slice(0, -1) : ring;
  let x = 0;
  let y = 0;
  for (const [lon, lat] of open) {
    x += lon;
    y += lat;
  }
  const n = open.length || 1;
  return [x / n, y / n];
}

function same(a?: readonly [number, number], b?: readonly [number, number]): boolean {
  return !!a && !!b && a[0] === b[0] && a[1] === b[1];
}

/** A circle on the map with a name beside it, in pixels. */
export interface Named {
  x: number;
  y: number;
  r: number;
  /** How wide the name is. */
  width: number;
}

/** Where a name stands: its base line's point and which end of it that is. */
export interface LabelSpot {
  x: number;
  y: number;
  anchor: 'start' | 'middle' | 'end';
}

/** Width and height of the map, pixels. */
export interface Size {
  width: number;
  height: number;
}

interface Patch {
  left: number;
  right: number;
  top: number;
  bottom: number;
}

/** Height of a name on the map, pixels. */
const NAME_HIGH = 20;

/**
 * Finds a place for each name round its circle: above, below, right or left,
 * wherever it covers least of the squares and of the names set before it, and
 * leaves the map least. Near the circle is better than far from it. Null where
 * a name would cover another one: it comes back when the map is zoomed in.
 */
export function labelSpots(sites: Named[], squares: { x: number; y: number; side: number }[], room: Size): (LabelSpot | null)[] {
  const taken: Patch[] = [];
  const cells = squares.map((s) => ({ left: s.x - s.side / 2, right: s.x + s.side / 2, top: s.y - s.side / 2, bottom: s.y + s.side / 2 }));
  return sites.map((s) => {
    const choices = around(s);
    let best = choices[0]!;
    let least = Infinity;
    for (const choice of choices) {
      const covered =
        sum(cells, (c) => overlap(c, choice.patch)) +
        4 * sum(taken, (t) => overlap(t, choice.patch)) +
        8 * outside(choice.patch, room) +
        4 * choice.far;
      if (covered < least - 1) {
        least = covered;
        best = choice;
      }
    }
    if (taken.some((t) => overlap(t, best.patch) > 0)) return null;
    taken.push(best.patch);
    return best.spot;
  });
}

function around(s: Named): { spot: LabelSpot; far: number; patch: Patch }[] {
  const at = (x: number, y: number, anchor: LabelSpot['anchor'], far: number) => {
    const left = anchor === 'start' ? x : anchor === 'end' ? x - s.width : x - s.width / 2;
    return { spot: { x, y, anchor }, far, patch: { left, right: left + s.width, top: y - NAME_HIGH * 0.75, bottom: y + NAME_HIGH * 0.25 } };
  };
  return [7, 26, 48].flatMap((gap) => [
    at(s.x, s.y - s.r - gap, 'middle', gap),
    at(s.x, s.y + s.r + gap + NAME_HIGH * 0.7, 'middle', gap),
    at(s.x + s.r + gap, s.y + NAME_HIGH * 0.3, 'start', gap),
    at(s.x - s.r - gap, s.y + NAME_HIGH * 0.3, 'end', gap),
  ]);
}

function overlap(a: Patch, b: Patch): number {
  const w = Math.min(a.right, b.right) - Math.max(a.left, b.left);
  const h = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
  return w > 0 && h > 0 ? w * h : 0;
}

function outside(a: Patch, room: Size): number {
  const all = (a.right - a.left) * (a.bottom - a.top);
  return all - overlap(a, { left: 0, top: 0, right: room.width, bottom: room.height });
}

function sum<T>(list: T[], of: (t: T) => number): number {
  return list.reduce((total, t) => total + of(t), 0);
}
