/** Taking the season along, in reach, for when one is out of it. */
import { get } from '../api/call';
import type { HeldName, HeldSeason } from '../api/field';
import { keepHeld, keepNames } from './keep';

/** takeAlong keeps what the server lets this person take along. Where it can't be had, what was taken before stays. */
export async function takeAlong(person: string): Promise<void> {
  if (!('indexedDB' in globalThis)) return;
  try {
    const season = await get<HeldSeason>('/field', { tries: 1 });
    const ground = season.season.hasGround ? await get<unknown>('/ground', { tries: 1 }) : null;
    await keepHeld({ at: new Date().toISOString(), person, season, ground });
    await keepNames({ season: season.season.code, names: await get<HeldName[]>('/field/names', { tries: 1 }) });
  } catch {
    // It is asked for again with the next page.
  }
}

/** dayIn is the day in a time zone, as a count of days. */
function dayIn(zone: string, at: Date): number {
  const text = new Intl.DateTimeFormat('en-CA', { timeZone: zone, year: 'numeric', month: '2-digit', day: '2-digit' }).format(at);
  return Date.parse(`${text}T00:00:00Z`) / 86_400_000;
}

/** daySince is the server's day once as many days have gone by here as since it was taken along: a clock that is wrong on both days does not matter. */
export function daySince(today: string, zone: string, then: Date, now: Date): string {
  const gone = Math.max(0, dayIn(zone, now) - dayIn(zone, then)) || 0;
  return new Date(Date.parse(`${today}T00:00:00Z`) + gone * 86_400_000).toISOString().slice(0, 10);
}
