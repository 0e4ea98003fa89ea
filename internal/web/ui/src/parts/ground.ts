/** The ground of the season: what the map draws under everything. */
import { get } from '../api/call';
import { heldGround } from '../field/keep';

type Position = [number, number];

/** A piece of ground, by what it is. */
export interface GroundPiece {
  kind: string;
  name: string;
  closed: boolean;
  lines: Position[][];
}

/** pieces reads a GeoJSON feature collection (RFC 7946); what it does not know it leaves out. */
export function pieces(collection: unknown): GroundPiece[] {
  const features = (collection as { features?: unknown } | null)?.features;
  if (!Array.isArray(features)) return [];
  const out: GroundPiece[] = [];
  for (const f of features as { properties?: { kind?: string; name?: string }; geometry?: { type?: string; coordinates?: unknown } }[]) {
    const read = linesOf(f.geometry?.type ?? '', f.geometry?.coordinates);
    if (read === null) continue;
    out.push({ kind: f.properties?.kind ?? '', name: f.properties?.name ?? '', ...read });
  }
  return out.sort((a, b) => rank(a.kind) - rank(b.kind));
}

function linesOf(type: string, at: unknown): { closed: boolean; lines: Position[][] } | null {
  switch (type) {
    case 'Point':
      return { closed: false, lines: [[at as Position]] };
    case 'LineString':
      return { closed: false, lines: [at as Position[]] };
    case 'MultiLineString':
      return { closed: false, lines: at as Position[][] };
    case 'Polygon':
      return { closed: true, lines: at as Position[][] };
    case 'MultiPolygon':
      return { closed: true, lines: (at as Position[][][]).flat() };
    default:
      return null;
  }
}

// From the bottom up.
const order = ['sea', 'pasture', 'dune', 'wood', 'contour', 'water', 'town', 'stream', 'path', 'road', 'label'];
function rank(kind: string): number {
  const at = order.indexOf(kind);
  return at < 0 ? order.length - 1 : at;
}

let asked: Promise<GroundPiece[]> | null = null;

/** groundOfSeason asks once for the ground; empty when the season has none or it cannot be had. */
export function groundOfSeason(): Promise<GroundPiece[]> {
  asked ??= get<unknown>('/ground').then(pieces, async () => {
    asked = null;
    return pieces(await heldGround()); // as it was taken along
  });
  return asked;
}
