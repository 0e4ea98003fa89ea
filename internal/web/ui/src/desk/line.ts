// Drawing outlines and routes: corners are added, moved and taken out; a ring is kept open, its first corner not repeated.
import type { Box } from '../api/types';
import type { LonLat } from '../api/desk';
import { Flat } from '../parts/map';

/** A ring without its first corner repeated at the end, as files have it. */
export function opened(ring: LonLat[]): LonLat[] {
  const first = ring[0];
  const last = ring.at(-1);
  return ring.length > 1 && first && last && first[0] === last[0] && first[1] === last[1] ? ring.slice(0, -1) : ring;
}

/** Rings that can be handed in: those that have a corner, each with its first corner repeated. */
export function closedRings(rings: LonLat[][]): LonLat[][] {
  return rings.filter((r) => r.length > 0).map((r) => [...r, r[0]!]);
}

/** Where a new corner goes: into the nearest edge of a closed ring, else at the end. */
export function placeFor(line: LonLat[], p: LonLat, closed: boolean, flat: Flat): number {
  return closed ? nearestEdge(line, p, flat) + 1 : line.length;
}

/** Index of the corner with which the edge nearest to a spot begins. */
export function nearestEdge(ring: LonLat[], p: LonLat, flat: Flat): number {
  const at = flat.to(p[0], p[1]);
  let best = ring.length - 1;
  let least = Infinity;
  ring.forEach((a, i) => {
    const b = ring[(i + 1) % ring.length]!;
    const A = flat.to(a[0], a[1]);
    const B = flat.to(b[0], b[1]);
    const [dx, dy] = [B.x - A.x, B.y - A.y];
    const long = dx * dx + dy * dy;
    const t = long === 0 ? 0 : Math.min(1, Math.max(0, ((at.x - A.x) * dx + (at.y - A.y) * dy) / long));
    const d = Math.hypot(A.x + t * dx - at.x, A.y + t * dy - at.y);
    if (d < least) [best, least] = [i, d];
  });
  return best;
}

/** The spot halfway between a corner and the next. */
export function halfway(line: LonLat[], i: number): LonLat {
  const a = line[i]!;
  const b = line[(i + 1) % line.length]!;
  return [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
}

/** Length in metres of a line that was walked. */
export function lengthOf(line: LonLat[], flat: Flat): number {
  let sum = 0;
  for (let i = 1; i < line.length; i++) {
    const a = flat.to(line[i - 1]![0], line[i - 1]![1]);
    const b = flat.to(line[i]![0], line[i]![1]);
    sum += Math.hypot(b.x - a.x, b.y - a.y);
  }
  return sum;
}

function signedArea(ring: LonLat[], flat: Flat): number {
  const points = ring.map((p) => flat.to(p[0], p[1]));
  return points.reduce((sum, a, i) => {
    const b = points[(i + 1) % points.length]!;
    return sum + a.x * b.y - b.x * a.y;
  }, 0) / 2;
}

function holds(ring: LonLat[], p: LonLat): boolean {
  let inside = false;
  ring.forEach((a, i) => {
    const b = ring[(i + 1) % ring.length]!;
    if (a[1] > p[1] !== b[1] > p[1] && p[0] < ((b[0] - a[0]) * (p[1] - a[1])) / (b[1] - a[1]) + a[0]) inside = !inside;
  });
  return inside;
}

/** Hectares inside the rings, flat; a ring that lies within another is a hole. The server's figure is the true one. */
export function hectaresOf(rings: LonLat[][], flat: Flat): number {
  const whole = rings.filter((r) => r.length > 2);
  let sum = 0;
  for (const r of whole) {
    const within = whole.filter((o) => o !== r && holds(o, r[0]!)).length;
    sum += (within % 2 === 0 ? 1 : -1) * Math.abs(signedArea(r, flat));
  }
  return Math.max(0, sum) / 10000;
}

/** Box round corners with a margin of a fifth, at least about 100 m wide; null without corners. */
export function boxAround(lines: LonLat[][]): Box | null {
  const points = lines.flat();
  if (points.length === 0) return null;
  let [west, south, east, north] = [180, 90, -180, -90];
  for (const [lon, lat] of points) {
    west = Math.min(west, lon);
    east = Math.max(east, lon);
    south = Math.min(south, lat);
    north = Math.max(north, lat);
  }
  const mx = Math.max((east - west) * 0.2, 0.0007);
  const my = Math.max((north - south) * 0.2, 0.0005);
  return { west: west - mx, east: east + mx, south: south - my, north: north + my };
}

/** Box round a circle. */
export function boxOfCircle(lat: number, lon: number, metres: number): Box {
  const dy = (Math.max(metres, 50) / 111195) * 1.4;
  const dx = dy / Math.max(0.05, Math.cos((lat * Math.PI) / 180));
  return { west: lon - dx, east: lon + dx, south: lat - dy, north: lat + dy };
}

/** Hectares in words: "0.4 ha", "12.3 ha", "140 ha". */
export function hectaresWords(ha: number): string {
  return ha >= 100 ? `${Math.round(ha)} ha` : ha >= 10 ? `${ha.toFixed(1)} ha` : `${Number(ha.toPrecision(2))} ha`;
}

/** A spot for those who hear it: degrees to five figures, about a metre. */
export function spotWords(p: LonLat): string {
  const part = (v: number, plus: string, minus: string) => `${Math.abs(v).toFixed(5)} degrees ${v < 0 ? minus : plus}`;
  return `${part(p[1], 'north', 'south')}, ${part(p[0], 'east', 'west')}`;
}
