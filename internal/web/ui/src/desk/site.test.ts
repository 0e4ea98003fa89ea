import { describe, expect, it } from 'vitest';
import type { ShownDeskSite } from '../api/desk';
import { blankSite, formOfSite, metresOf, siteFaults, siteOf } from './site';

const ring: [number, number][] = [[-20, 48.5], [-19.99, 48.5], [-19.99, 48.51], [-20, 48.5]];
const site: ShownDeskSite = {
  id: 'a', code: 'S1', name: 'Hobbleshaw Hanger', description: 'Old beech.', habitat: ['beech', 'clay'], lat: 48.503, lon: -19.993, radius: 700,
  outline: [ring], hectares: 41.1, manager: 'Hobbleshaw estate', open: true, permission: { words: 'Shut the gates.', from: '2026-09-01', people: 20, pick: 'yes', dig: 'no' },
  hazards: ['Ditch: keep to the bank', 'Ticks'], road: 'B 12', meeting: 'Gate', rule: 'No dogs', assessed: '2026-08-30', assessedBy: 'Ada', forays: 3, records: 40, notes: [],
};

it('makes the same site of its own form', () => {
  const back = siteOf('a', formOfSite(site), site);
  expect(back).toEqual({ ...site, permission: { words: 'Shut the gates.', from: '2026-09-01', until: '', part: '', people: 20, pick: 'yes', cut: '', dig: 'no', take: '' } });
});
it('makes a circle of a circle, in metres and degrees as typed', () => {
  const f = { ...blankSite('S2'), shape: 'circle' as const, lat: '48,5', lon: '20.1 W', radius: '300 m' };
  expect(siteFaults(f)).toEqual({});
  const s = siteOf('b', f, null);
  expect([s.lat, s.lon, s.radius, s.outline, s.permission]).toEqual([48.5, -20.1, 300, [], undefined]);
  // A circle of 300 m holds π × 9 hectares.
  expect(s.hectares).toBe(28.3);
});
describe('siteFaults', () => {
  it('names what can’t be read, and only what matters', () => {
    const f = blankSite('S1');
    expect(Object.keys(siteFaults(f))).toEqual(['outline']);
    expect(Object.keys(siteFaults({ ...f, shape: 'circle', lat: '91', lon: 'here', radius: '0' }))).toEqual(['lat', 'lon', 'radius']);
    expect(Object.keys(siteFaults({ ...f, rings: [ring], known: 'yes', people: 'few' }))).toEqual(['permission.people']);
    expect(siteFaults({ ...f, rings: [ring], known: 'no', people: 'few' })).toEqual({});
  });
  it('reads metres', () => expect(['300', ' 12,5 m', 'm', '', '-3'].map(metresOf)).toEqual([300, 12.5, NaN, NaN, NaN]));
});
