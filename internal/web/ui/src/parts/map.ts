/**
 * The map's projection: degrees to flat metres round the middle of a box. Over
 * the few kilometres of a season the equirectangular form is true to well
 * under a pixel (Snyder 1987, USGS Professional Paper 1395, chapter 12).
 */
import type { Box } from '../api/types';

/** Metres of a degree of latitude on a sphere of 6 371 008.8 m, the mean radius of WGS 84. */
const metresPerDegree = (Math.PI / 180) * 6371008.8;

export interface Point {
  x: number;
  y: number;
}

/** Flat turns degrees to metres east and south of the box's north-west corner, and back. */
export class Flat {
  private readonly squeeze: number;
  readonly width: number;
  readonly height: number;

  constructor(readonly box: Box) {
    this.squeeze = Math.cos((((box.north + box.south) / 2) * Math.PI) / 180);
    this.width = (box.east - box.west) * metresPerDegree * this.squeeze;
    this.height = (box.north - box.south) * metresPerDegree;
  }

  /** to returns metres east and south. */
  to(lon: number, lat: number): Point {
    return { x: (lon - this.box.west) * metresPerDegree * this.squeeze, y: (this.box.north - lat) * metresPerDegree };
  }

  /** from returns degrees. */
  from(p: Point): { lon: number; lat: number } {
    return { lon: this.box.west + p.x / (metresPerDegree * this.squeeze), lat: this.box.north - p.y / metresPerDegree };
  }

  /** path writes a ring or line as SVG path data in metres. */
  path(line: readonly (readonly [number, number])[], closed = false): string {
    const points = line.map(([lon, lat]) => {
      const p = this.to(lon, lat);
      return `${p.x.toFixed(1)} ${p.y.toFixed(1)}`;
    });
    return points.length === 0 ? '' : `M${points.join('L')}${closed ? 'Z' : ''}`;
  }
}

/** A window on the map: its middle in metres and how many metres one pixel shows. */
export interface Sight {
  x: number;
  y: number;
  metresPerPixel: number;
}

/** Finest and coarsest zoom, in metres per pixel. */
export const finest = 0.25;

/** wholeOf shows the whole box in a frame of w by h pixels. */
export function wholeOf(flat: Flat, w: number, h: number): Sight {
  return { x: flat.width / 2, y: flat.height / 2, metresPerPixel: Math.max(flat.width / w, flat.height / h, finest) };
}

/** sightOf shows a part of the map in a frame of w by h pixels. */
export function sightOf(flat: Flat, part: Box, w: number, h: number): Sight {
  const a = flat.to(part.west, part.north);
  const b = flat.to(part.east, part.south);
  return { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2, metresPerPixel: Math.max((b.x - a.x) / w, (b.y - a.y) / h, finest) };
}

/** zoomed returns the sight zoomed by a factor about a point of the frame given in pixels from its middle. */
export function zoomed(sight: Sight, factor: number, about: Point, coarsest: number): Sight {
  const metresPerPixel = Math.min(Math.max(sight.metresPerPixel / factor, finest), coarsest);
  const change = sight.metresPerPixel - metresPerPixel;
  return { x: sight.x + about.x * change, y: sight.y + about.y * change, metresPerPixel };
}

/** roundBar returns a round length for a scale bar of at most `most` metres: 1, 2 or 5 times a power of ten. */
export function roundBar(most: number): number {
  if (!(most > 0)) return 1;
  const power = 10 ** Math.floor(Math.log10(most));
  const lead = most / power;
  return (lead >= 5 ? 5 : lead >= 2 ? 2 : 1) * power;
}

/** distanceWords writes metres for people; figure and unit do not part at the end of a line. */
export function distanceWords(metres: number): string {
  if (metres >= 1000) return `${Number((metres / 1000).toPrecision(3))}\u00a0km`;
  return metres >= 10 ? `${Math.round(metres)}\u00a0m` : `${Number(metres.toPrecision(2))}\u00a0m`;
}
