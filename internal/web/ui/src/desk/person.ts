// The form of a person: what stands in it, what is sent, what is wrong with it.

import type { Consent, ConsentAbout, EditablePerson } from '../api/person';
import type { Role, ShownPerson } from '../api/types';

export const ROLES: readonly { role: Role; says: string }[] = [
  { role: 'recorder', says: 'makes records' },
  { role: 'leader', says: 'leads forays' },
  { role: 'determiner', says: 'names finds' },
  { role: 'coordinator', says: 'runs the season' },
];

/** The piles of the table; a test holds them against the server's. */
export const GROUPS: readonly (readonly [code: string, title: string])[] = [
  ['gilled-grass', 'Gilled, in grass'],
  ['gilled-wood', 'Gilled, on wood'],
  ['gilled-soil', 'Gilled, on soil and litter'],
  ['boletes', 'Fleshy, with pores'],
  ['brackets', 'Brackets and crusts'],
  ['spines', 'Spines and folds'],
  ['clubs', 'Clubs, corals, rosettes'],
  ['cups', 'Cups, saddles, honeycombs'],
  ['balls', 'Balls, stars, eggs, nests'],
  ['jellies', 'Jellies'],
  ['hard', 'Hard, black, flask-like'],
  ['lichens', 'Lichens'],
  ['slime', 'Slime moulds'],
];

export const CONSENTS: readonly { about: ConsentAbout; title: string; says: string }[] = [
  { about: 'name', title: 'Name shown', says: 'Their name, as they are credited, stands with their finds.' },
  { about: 'pictures', title: 'Pictures', says: 'Their pictures may be published.' },
  { about: 'letters', title: 'Letters', says: 'Letters may be written to them.' },
];

/** What stands in the form. */
export interface PersonForm {
  code: string;
  name: string;
  credit: string;
  /** Their name is not published; there is no credit then. */
  withheld: boolean;
  minor: boolean;
  guardian: string;
  roles: Role[];
  scope: string;
  groups: string[];
  hours: string;
  consents: Consent[];
}

export function blankPerson(code: string): PersonForm {
  return { code, name: '', credit: '', withheld: false, minor: false, guardian: '', roles: ['recorder'], scope: '', groups: [], hours: '', consents: [] };
}

export function formOfPerson(p: EditablePerson): PersonForm {
  return {
    code: p.code ?? '',
    name: p.name,
    credit: p.credit ?? '',
    withheld: !p.credit,
    minor: p.minor ?? false,
    guardian: p.guardian ?? '',
    roles: [...(p.roles ?? [])],
    scope: p.scope ?? '',
    groups: [...(p.groups ?? [])],
    hours: p.hours ? `${p.hours}` : '',
    consents: (p.consents ?? []).map((c) => ({ ...c })),
  };
}

/** personOf is what the server is sent. What has no place for the chosen roles is left out. */
export function personOf(id: string, f: PersonForm): EditablePerson {
  const names = f.roles.includes('determiner');
  const credit = f.withheld ? '' : f.credit.trim() || (f.minor ? '' : f.name.trim());
  return {
    id,
    code: f.code.trim(),
    name: f.name.trim(),
    credit,
    minor: f.minor,
    guardian: f.minor ? f.guardian : '',
    roles: f.roles,
    scope: names ? f.scope.trim() : '',
    groups: names ? f.groups : [],
    hours: names ? Number(f.hours.trim().replace(',', '.') || 0) : 0,
    consents: f.consents.map((c) => ({ about: c.about, given: c.given, ...(c.withdrawn ? { withdrawn: c.withdrawn } : {}), ...(c.how?.trim() ? { how: c.how.trim() } : {}) })),
    link: '',
    notes: [],
  };
}

/** What can be told to be wrong without asking, by field. */
export function personFaults(f: PersonForm): Record<string, string> {
  const out: Record<string, string> = {};
  if (f.name.trim() === '') out.name = 'Give a name to be called by; a first name is enough.';
  if (f.roles.length === 0) out.roles = 'Choose at least one role.';
  if (f.minor && f.guardian === '') out.guardian = 'A child takes part under an adult of the season: say who.';
  if (f.roles.includes('determiner') && f.hours.trim() !== '' && !/^\d{1,3}([.,]\d+)?$/.test(f.hours.trim())) {
    out.hours = 'Write how many hours a week, such as 4, or leave it blank.';
  }
  f.consents.forEach((c, i) => {
    if (c.given === '') out[`consents.${i}`] = 'Say on which day it was given.';
    else if (c.withdrawn && c.withdrawn < c.given) out[`consents.${i}`] = 'It cannot be withdrawn before it was given: look at the two days.';
  });
  return out;
}

/** The place in the list of the consent that stands for a thing now; -1 where nothing was asked. */
export function lastAbout(consents: readonly Consent[], about: ConsentAbout): number {
  return consents.findLastIndex((c) => c.about === about);
}

/** How somebody is published, in words. */
export function creditWords(p: Pick<ShownPerson, 'minor' | 'credit'>): string {
  if (p.minor) return p.credit ? `child; published as ${p.credit}` : 'child; their name stays in the season';
  return p.credit ? `published as ${p.credit}` : 'name withheld';
}
