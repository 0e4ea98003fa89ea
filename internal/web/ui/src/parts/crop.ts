/**
 * The part of a picture that is to stay, in whole pixels: right and bottom lie
 * just beyond the last column and row that stay.
 */
import type { GivenCrop } from '../api/marks';
import type { Size } from './zoom';
import { t } from '../words';

export interface Part {
  left: number;
  top: number;
  right: number;
  bottom: number;
}
export type Edge = keyof Part;
export const EDGES: readonly Edge[] = ['left', 'right', 'top', 'bottom'];

/** The least side of what stays, in pixels: below it nobody could name a find. The server says the same. */
export const LEAST = 32;

/** wholePart is all of a picture. */
export const wholePart = (full: Size): Part => ({ left: 0, top: 0, right: full.width, bottom: full.height });

const within = (v: number, low: number, high: number) => Math.min(Math.max(Math.round(v), low), Math.max(low, high));

/** room tells between which pixels an edge can lie. */
export function room(part: Part, edge: Edge, full: Size): { low: number; high: number } {
  switch (edge) {
    case 'left':
      return { low: 0, high: Math.max(0, part.right - LEAST) };
    case 'top':
      return { low: 0, high: Math.max(0, part.bottom - LEAST) };
    case 'right':
      return { low: Math.min(part.left + LEAST, full.width), high: full.width };
    case 'bottom':
      return { low: Math.min(part.top + LEAST, full.height), high: full.height };
  }
}

/** withEdge lays one edge elsewhere, no further than there is room. */
export function withEdge(part: Part, edge: Edge, to: number, full: Size): Part {
  const { low, high } = room(part, edge, full);
  return { ...part, [edge]: within(to, low, high) };
}

/** drawn is the part between two corners, in whichever order they were given. */
export function drawn(from: { x: number; y: number }, to: { x: number; y: number }, full: Size): Part {
  const span = (a: number, b: number, most: number): [number, number] => {
    const low = within(Math.min(a, b), 0, Math.max(0, most - LEAST));
    return [low, within(Math.max(a, b), Math.min(low + LEAST, most), most)];
  };
  const [left, right] = span(from.x, to.x, full.width);
  const [top, bottom] = span(from.y, to.y, full.height);
  return { left, top, right, bottom };
}

/** shifted moves the whole part and keeps its size. */
export function shifted(part: Part, dx: number, dy: number, full: Size): Part {
  const x = within(dx, -part.left, full.width - part.right);
  const y = within(dy, -part.top, full.height - part.bottom);
  return { left: part.left + x, right: part.right + x, top: part.top + y, bottom: part.bottom + y };
}

/** isWhole tells whether nothing would be cut away. */
export const isWhole = (part: Part, full: Size): boolean =>
  part.left === 0 && part.top === 0 && part.right === full.width && part.bottom === full.height;

/** staysWords says how much stays: "2480 × 1860 of 4032 × 3024 pixels, 38 %". */
export function staysWords(part: Part, full: Size): string {
  const [w, h] = [part.right - part.left, part.bottom - part.top];
  const share = (100 * w * h) / (full.width * full.height);
  const percent = share < 1 ? t('less than 1 %') : share > 99 && share < 100 ? t('more than 99 %') : `${Math.round(share)} %`;
  return t('{part} of {whole} pixels, {percent}', { part: `${w} × ${h}`, whole: `${full.width} × ${full.height}`, percent });
}

/** edgeWords says where an edge lies, for those who hear it. */
export function edgeWords(part: Part, edge: Edge, full: Size): string {
  const from = { left: part.left, top: part.top, right: full.width - part.right, bottom: full.height - part.bottom }[edge];
  const cut = from === 0 ? t('nothing cut away here') : t('{n} pixels cut away', { n: String(from) });
  return t('{cut}; {width} by {height} pixels stay', { cut, width: String(part.right - part.left), height: String(part.bottom - part.top) });
}

/** givenPart is the part as the server takes it. */
export function givenPart(part: Part, full: Size): GivenCrop {
  return {
    left: part.left / full.width,
    top: part.top / full.height,
    width: (part.right - part.left) / full.width,
    height: (part.bottom - part.top) / full.height,
    seenWidth: full.width,
    seenHeight: full.height,
  };
}

/** movedBy tells where a key lays an edge; null for keys that move nothing. */
export function movedBy(key: string, fine: boolean, part: Part, edge: Edge, full: Size): number | null {
  const across = edge === 'left' || edge === 'right';
  const side = across ? full.width : full.height;
  const step = fine ? 1 : Math.max(1, Math.round(side / 100));
  const { low, high } = room(part, edge, full);
  switch (key) {
    case across ? 'ArrowLeft' : 'ArrowUp':
      return part[edge] - step;
    case across ? 'ArrowRight' : 'ArrowDown':
      return part[edge] + step;
    case 'PageUp':
      return part[edge] - 10 * step;
    case 'PageDown':
      return part[edge] + 10 * step;
    case 'Home':
      return low;
    case 'End':
      return high;
    default:
      return null;
  }
}
