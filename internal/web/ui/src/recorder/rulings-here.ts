/** What people may be asked to do to a find, out of reach: as the server rules wherever this phone can know it, and nowhere more. */
import type { Ruling } from '../api/desk';
import type { HeldLand, HeldRecord, HeldSeason } from '../api/field';
import { t } from '../words';
import { written } from '../words/said';
import { metres } from './garden';
import type { RulingsAsked } from './rulings.svelte';

/** How unsure a place may be, in metres: the lands that are taken along are chosen by it (internal/app/heldland.go). */
const unsure = 100;
/** By how much a distance here, on a sphere, may be out: twice what it is, at most, and some metres at the edge. */
const out = (distance: number) => 5 + distance / 50;

type Season = Pick<HeldSeason, 'nowhere' | 'sites' | 'records'>;

/** landOf is the land that a place lies on, as the server finds it; null where the phone can't tell. */
function landOf(season: Season, asked: RulingsAsked): { land: HeldLand; name: string } | null {
  const p = asked.place;
  if (!p || p.source === 'text' || !((p.uncertainty ?? 0) <= unsure)) return null;
  const lands = season.sites
    .flatMap((s) => (s.land ? [{ land: s.land, name: s.name, far: metres(s.land, p), holds: s.land.radius + (p.uncertainty ?? 0) }] : []))
    .filter((l) => l.far <= l.holds + out(l.far))
    .sort((a, b) => a.far - b.far);
  const [first, second] = lands;
  if (!first || first.far > first.holds - out(first.far) || (second && second.far - first.far <= 2 * out(second.far))) return null;
  return first;
}

/** protectedPerhaps tells that the find may bear a protected name: which names are is on no phone. */
function protectedPerhaps(season: Season, asked: RulingsAsked, prompt: Ruling['prompt']): boolean {
  const kept: HeldRecord | undefined = season.records?.find((r) => r.id === asked.record);
  if (!asked.record) return !!asked.name;
  // Of a record that is kept the server has said so, as long as it is called the same.
  return (asked.name ?? '') !== (kept?.editable.fieldName ?? '') || !(kept?.known?.asked.may ?? []).includes(prompt);
}

/** rulingsHere rules by what was taken along; what it can't know it says, and never allows. Nothing where an older server sent nothing to rule by. */
export function rulingsHere(season: Season, today: string, asked: RulingsAsked): Ruling[] {
  const nowhere = season.nowhere ?? [];
  if (!asked.place && !asked.name && !asked.record) return nowhere;
  const at = landOf(season, asked);
  const day = asked.date ?? today;
  return nowhere.map(({ prompt, instead }) => {
    const unknown: Ruling = { prompt, may: false, why: t('Out of reach it is not known whether this is allowed here: see what can be seen without touching.'), ...(instead ? { instead } : {}) };
    if (!at) return unknown;
    const { from, until, leaves } = at.land;
    if (protectedPerhaps(season, asked, prompt)) return unknown;
    if ((from && day < from) || (until && until < day)) {
      return { prompt, may: false, why: written({ words: 'The permission for {site} does not cover {day}.', values: { site: at.name, day: { day } } }), ...(instead ? { instead } : {}) };
    }
    return leaves.find((r) => r.prompt === prompt) ?? unknown;
  });
}
