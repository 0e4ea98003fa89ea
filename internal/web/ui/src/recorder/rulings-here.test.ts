/** What the phone rules out of reach against what the server rules, which internal/app wrote down (TestRulingsForPhones). */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import type { Ruling } from '../api/desk';
import type { HeldSeason } from '../api/field';
import { rulingsHere } from './rulings-here';
import type { RulingsAsked } from './rulings.svelte';

type Season = Pick<HeldSeason, 'sites' | 'nowhere' | 'records'>;
const server = JSON.parse(readFileSync(fileURLToPath(new URL('rulings-from-go.json', import.meta.url)), 'utf8')) as Season & { cases: { asked: RulingsAsked; rulings: Ruling[] }[] };
const unknown = 'Out of reach it is not known whether this is allowed here: see what can be seen without touching.';
const here = (asked: RulingsAsked, season: Season = server) => rulingsHere(season, '2026-10-10', asked);
const where = (part: number, more: Partial<RulingsAsked['place']> = {}, site = server.sites.find((s) => s.land!.leaves.some((l) => l.may))!) =>
  ({ lat: site.land!.lat + (part * site.land!.radius) / 111_200, lon: site.land!.lon, uncertainty: 10, source: 'pin', ...more }) as NonNullable<RulingsAsked['place']>;

describe('out of reach the phone', () => {
  it('says what the server says, or that it does not know; and never allows what the server does not', () => {
    let same = 0;
    let allowed = 0;
    for (const { asked, rulings } of server.cases) {
      const mine = here(asked);
      expect(mine.map((r) => r.prompt)).toEqual(rulings.map((r) => r.prompt));
      mine.forEach((r, i) => {
        if (r.why === unknown) return expect(r.may, JSON.stringify(asked)).toBe(false);
        same++;
        if (r.may) allowed++;
        expect(r, JSON.stringify(asked)).toEqual(rulings[i]);
      });
    }
    expect(same).toBeGreaterThan(60);
    expect(allowed).toBeGreaterThan(10);
  });
  it('knows the middle of each land that it holds', () => {
    for (const site of server.sites) {
      const known = server.cases.filter(({ asked }) => !asked.name && asked.place?.lat === site.land!.lat && asked.place.lon === site.land!.lon && asked.place.uncertainty === 10);
      expect(known.length, site.code).toBe(2);
      for (const { asked, rulings } of known) expect(here(asked), site.code).toEqual(rulings);
    }
  });
  it('allows nothing of a find that bears a name, since which are protected is on no phone', () => {
    expect(here({ place: where(0), date: '2026-10-10' }).some((r) => r.may)).toBe(true);
    for (const r of here({ place: where(0), date: '2026-10-10', name: 'Mycena pura' })) expect([r.may, r.why]).toEqual([false, unknown]);
  });
  it('goes by what the server said of a kept record, as long as it is called and lies the same', () => {
    const site = server.sites.find((s) => s.land!.leaves.some((l) => l.may))!;
    const first = site.land!.leaves.find((l) => l.may)!.prompt;
    const record = { id: 'r', editable: { found: { date: '2026-10-10' }, fieldName: 'Mycena', views: [] }, known: { group: '', answered: [], asked: { answers: [], views: [], may: [first] } } };
    const season = { ...server, records: [record] } as unknown as Season;
    const may = (asked: RulingsAsked) => here({ place: where(0), date: '2026-10-10', ...asked }, season).filter((r) => r.may).map((r) => r.prompt);
    expect(may({ record: 'r', name: 'Mycena' })).toEqual([first]);
    expect(may({ record: 'r', name: 'Hericium' })).toEqual([]);
    expect(may({ record: 'another', name: 'Mycena' })).toEqual([]);
    expect(may({ record: 'r', name: 'Mycena', place: { lat: 10, lon: 10, source: 'pin' } })).toEqual([]);
  });
  it.each([{ uncertainty: 400 }, { uncertainty: Number.NaN }, { source: 'text' as const, text: '48.5, -19.9' }, { lat: 10 }])('does not know where the place is %o', (more) => {
    for (const r of here({ place: where(0, more) })) expect([r.may, r.why]).toEqual([false, unknown]);
  });
  it('says without a place that nobody knows whose land it is', () => expect(here({ date: '2026-10-10' })).toEqual(server.nowhere));
  it('says nothing where it holds nothing to rule by', () => expect(here({ place: where(0) }, { sites: [] })).toEqual([]));
});
