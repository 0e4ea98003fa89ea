/** Somebody's own garden, remembered on this device alone, so that the next find there is kept back without being asked. */
import type { EditablePlace } from '../api/types';
import type { Keep } from './draft';

/** How near a find lies to the garden to be taken for one in it, in metres, beside what both places are unsure of: our own judgement. */
const near = 100;

const keyOf = (person: string) => `trug.garden.${person}`;
type Spot = Pick<EditablePlace, 'lat' | 'lon' | 'uncertainty'>;

/** metres is how far two places lie apart, on a sphere. */
export function metres(a: Spot, b: Spot): number {
  const rad = Math.PI / 180;
  const h = Math.sin(((b.lat - a.lat) * rad) / 2) ** 2 + Math.cos(a.lat * rad) * Math.cos(b.lat * rad) * Math.sin(((b.lon - a.lon) * rad) / 2) ** 2;
  return 2 * 6_371_000 * Math.asin(Math.min(1, Math.sqrt(h)));
}

/** inGarden tells that a place lies in a garden that was marked before. */
export function inGarden(keep: Keep, person: string, place: Spot | null): boolean {
  if (!place) return false;
  try {
    const list = JSON.parse(keep.getItem(keyOf(person)) ?? '[]') as Spot[];
    return list.some((g) => metres(g, place) <= near + (g.uncertainty ?? 0) + (place.uncertainty ?? 0));
  } catch {
    return false;
  }
}

/** rememberGarden notes a place as a garden of this person's; with `is` unset, that it is none after all. */
export function rememberGarden(keep: Keep, person: string, place: Spot | null, is: boolean): void {
  if (!place) return;
  try {
    const list = JSON.parse(keep.getItem(keyOf(person)) ?? '[]') as Spot[];
    const others = list.filter((g) => metres(g, place) > near + (g.uncertainty ?? 0) + (place.uncertainty ?? 0));
    if (!is && others.length === list.length) return;
    // A place that is known no better than to kilometres would make a garden of the whole season's area.
    if (is && (place.uncertainty ?? 0) > 500) return;
    keep.setItem(keyOf(person), JSON.stringify(is ? [...others, { lat: place.lat, lon: place.lon, uncertainty: place.uncertainty ?? 0 }].slice(-5) : others));
  } catch {
    // Then it is asked each time.
  }
}
