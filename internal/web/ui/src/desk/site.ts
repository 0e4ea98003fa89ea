// The form of a site: what is typed, and the site it makes.
import type { Leave, LonLat, Permission, ShownDeskSite } from '../api/desk';
import { closedRings, opened } from './line';
import { linesOf, wholeOf, wordsOf } from './list';
import { readDegrees } from './setup';

/** What stands in the form; everything typed is text until it is handed in. */
export interface SiteForm {
  code: string;
  name: string;
  habitat: string;
  description: string;
  shape: 'outline' | 'circle';
  rings: LonLat[][];
  lat: string;
  lon: string;
  radius: string;
  manager: string;
  ground: 'open' | 'private';
  known: 'yes' | 'no';
  words: string;
  from: string;
  until: string;
  part: string;
  people: string;
  pick: Leave;
  cut: Leave;
  dig: Leave;
  take: Leave;
  hazards: string;
  road: string;
  meeting: string;
  rule: string;
  assessed: string;
  assessedBy: string;
}

/** A new site's form, with the mark that is free. */
export function blankSite(code: string): SiteForm {
  return {
    code, name: '', habitat: '', description: '', shape: 'outline', rings: [], lat: '', lon: '', radius: '', manager: '', ground: 'private', known: 'no', words: '',
    from: '', until: '', part: '', people: '', pick: '', cut: '', dig: '', take: '', hazards: '', road: '', meeting: '', rule: '', assessed: '',
    assessedBy: '',
  };
}

/** The form of a site that is there. */
export function formOfSite(s: ShownDeskSite): SiteForm {
  const p = s.permission ?? {};
  return {
    code: s.code, name: s.name, habitat: s.habitat.join(', '), description: s.description ?? '',
    shape: s.outline.length > 0 ? 'outline' : 'circle', rings: s.outline.map(opened),
    lat: s.lat.toFixed(5), lon: s.lon.toFixed(5), radius: s.radius ? `${Math.round(s.radius)}` : '',
    manager: s.manager ?? '', ground: s.open ? 'open' : 'private', known: s.permission ? 'yes' : 'no', words: p.words ?? '', from: p.from ?? '', until: p.until ?? '', part: p.part ?? '',
    people: p.people ? `${p.people}` : '', pick: p.pick ?? '', cut: p.cut ?? '', dig: p.dig ?? '', take: p.take ?? '',
    hazards: s.hazards.join('\n'), road: s.road ?? '', meeting: s.meeting ?? '', rule: s.rule ?? '', assessed: s.assessed ?? '', assessedBy: s.assessedBy ?? '',
  };
}

function permissionOf(f: SiteForm): Permission | undefined {
  if (f.known === 'no') return undefined;
  return {
    words: f.words.trim(), from: f.from, until: f.until, part: f.part.trim(), people: wholeOf(f.people) || 0,
    pick: f.pick, cut: f.cut, dig: f.dig, take: f.take,
  };
}

/** What in the form can't be read, by field. */
export function siteFaults(f: SiteForm): Record<string, string> {
  const faults: Record<string, string> = {};
  if (f.known === 'yes' && Number.isNaN(wholeOf(f.people))) faults['permission.people'] = `“${f.people}” is no number of people: give one, or leave it blank.`;
  if (f.shape === 'outline') {
    if (f.rings.flat().length === 0) faults.outline = 'Draw the outline, or let a circle stand for it.';
    return faults;
  }
  if (readDegrees(f.lat, 90) === null) faults.lat = 'Give the latitude of the middle in degrees, such as 48.51230, or tap the map.';
  if (readDegrees(f.lon, 180) === null) faults.lon = 'Give the longitude of the middle in degrees, such as -19.93120, or tap the map.';
  if (!(metresOf(f.radius) > 0)) faults.radius = 'Give a radius in metres that holds the whole site, such as 300.';
  return faults;
}

/** Metres of a radius as typed; NaN when it can't be read. */
export function metresOf(text: string): number {
  return /^\s*\d+([.,]\d+)?\s*m?\s*$/.test(text) ? Number(text.replace(',', '.').replace('m', '')) : NaN;
}

/** The site that the form makes, on top of what is there. */
export function siteOf(id: string, f: SiteForm, was: ShownDeskSite | null): ShownDeskSite {
  const circle = f.shape === 'circle';
  const first = f.rings[0]?.[0] ?? [0, 0];
  return {
    id, code: f.code.trim(), name: f.name.trim(), description: f.description.trim(), habitat: wordsOf(f.habitat),
    // Of an outline the server works out the middle itself.
    lat: (circle ? readDegrees(f.lat, 90) : null) ?? was?.lat ?? first[1],
    lon: (circle ? readDegrees(f.lon, 180) : null) ?? was?.lon ?? first[0],
    radius: circle ? metresOf(f.radius) : (was?.radius ?? 0),
    outline: circle ? [] : closedRings(f.rings),
    hectares: circle ? Math.round((Math.PI * metresOf(f.radius) ** 2) / 1000) / 10 : (was?.hectares ?? 0),
    manager: f.manager.trim(), open: f.ground === 'open', permission: permissionOf(f), hazards: linesOf(f.hazards), road: f.road.trim(), meeting: f.meeting.trim(),
    rule: f.rule.trim(), assessed: f.assessed, assessedBy: f.assessedBy.trim(),
    forays: was?.forays ?? 0, records: was?.records ?? 0, notes: was?.notes ?? [],
  };
}
