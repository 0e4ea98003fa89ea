/** Taking the season along, in reach, for when one is out of it. */
import { get } from '../api/call';
import type { HeldName, HeldSeason } from '../api/field';
import { keepHeld, keepNames } from './keep';

/** takeAlong keeps what the server lets this person take along, if they are still in when it has come. Where it can't be had, what was taken before stays. */
export async function takeAlong(person: string, stillIn: () => boolean = () => true): Promise<void> {
  if (!('indexedDB' in globalThis)) return;
  try {
    const season = await get<HeldSeason>('/field', { tries: 1 });
    const ground = season.season.hasGround ? await get<unknown>('/ground', { tries: 1 }) : null;
    if (!stillIn()) return; // whoever has the phone now learns nothing of it
    const { key = {}, ...rest } = season;
    const at = new Date();
    await keepHeld({ at: at.toISOString(), midnights: midnightsAfter(at, season.season.zone), person, season: rest }, ground, key);
    const names = await get<HeldName[]>('/field/names', { tries: 1 });
    if (stillIn()) await keepNames({ season: season.season.code, names });
  } catch {
    // It is asked for again with the next page.
  }
}

const byZone = new Map<string, Intl.DateTimeFormat>();

/** dayIn is the day in a time zone, as a count of days. */
function dayIn(zone: string, at: Date): number {
  let days = byZone.get(zone);
  if (!days) byZone.set(zone, (days = new Intl.DateTimeFormat('en-CA', { timeZone: zone, year: 'numeric', month: '2-digit', day: '2-digit' })));
  const text = days.format(at);
  return Date.parse(`${text}T00:00:00Z`) / 86_400_000;
}

/** How many days' beginnings are kept: who is out of reach for longer waits for the table of time zones. */
const daysAhead = 30;

/** midnightsAfter tells when the days after an instant begin in a time zone, in milliseconds since 1970. */
export function midnightsAfter(at: Date, zone: string): number[] {
  const out: number[] = [];
  let from = at.getTime();
  for (let n = 0; n < daysAhead; n++) {
    const today = dayIn(zone, new Date(from));
    // No day is longer than 26 hours; the first beginning in them is looked for by halving.
    let [before, after] = [from, from + 26 * 3_600_000];
    while (after - before > 1) {
      const middle = Math.floor((before + after) / 2);
      if (dayIn(zone, new Date(middle)) > today) after = middle;
      else before = middle;
    }
    out.push((from = after));
  }
  return out;
}

/** daySince is the server's day once as many days have gone by here as since it was taken along: a clock that is wrong on both days does not matter. */
export function daySince(today: string, zone: string, then: Date, now: Date, midnights: readonly number[] = []): string {
  const known = now.getTime() < (midnights.at(-1) ?? 0);
  const gone = known ? midnights.filter((m) => m <= now.getTime()).length : Math.max(0, dayIn(zone, now) - dayIn(zone, then)) || 0;
  return new Date(Date.parse(`${today}T00:00:00Z`) + gone * 86_400_000).toISOString().slice(0, 10);
}
