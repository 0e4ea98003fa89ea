import { describe, expect, it } from 'vitest';
import type { ShownForay } from '../api/desk';
import { blankForay, clockWords, dayAfter, forayFaults, forayOf, formOfForay, published } from './foray';

const foray: ShownForay = {
  id: 'y', code: 'O20', name: 'Night walk', site: 'S2', date: '2026-10-24', start: '21:00', end: '01:30', endDate: '2026-10-25', leader: 'p1', people: 12,
  weather: 'still, mild', route: [[-19.9, 48.5], [-19.89, 48.51]], targets: ['Clavulinopsis corniculata'], notFound: ['Hydnum repandum'],
  scope: ['Agaricomycetes'], wholeScope: true, signedUp: ['a', 'b'], note: 'late', siteName: 'Pasture', records: 3, notes: [],
};

it('makes the same foray of its own form', () => {
  expect(forayOf('y', formOfForay(foray), foray)).toEqual({ ...foray, visit: false, by: '' });
});
it('keeps a visit without a leader, and a foray without the person of a visit', () => {
  const f = { ...formOfForay(foray), kind: 'visit' as const, by: 'p9' };
  expect(forayOf('y', f, foray)).toMatchObject({ visit: true, by: 'p9', leader: '' });
  expect(forayOf('y', { ...f, kind: 'foray' }, foray)).toMatchObject({ visit: false, by: '', leader: 'p1' });
});
it('ends on the next day when no other is given', () => {
  const f = { ...formOfForay(foray), endDate: '' };
  expect(forayOf('y', f, foray).endDate).toBe('2026-10-25');
  expect(forayOf('y', { ...f, past: false }, foray).endDate).toBe('');
});
it('sends no headcount that nobody gave, and refuses nobody at all', () => {
  expect(forayOf('y', { ...formOfForay(foray), people: ' ' }, foray).people).toBeUndefined();
  expect(forayFaults({ ...formOfForay(foray), people: '0' }).people).toContain('blank');
});
it('states no whole scope without a scope', () => {
  expect(forayOf('y', { ...formOfForay(foray), scope: ' \n' }, foray)).toMatchObject({ scope: [], wholeScope: false });
});

describe('forayFaults', () => {
  it('asks for site, day and who visited', () => {
    const f = { ...blankForay('F01', '', null), people: 'many' };
    expect(Object.keys(forayFaults(f))).toEqual(['site', 'date', 'people']);
    expect(Object.keys(forayFaults({ ...f, kind: 'visit', site: 'S1', date: '2026-10-10', people: '' }))).toEqual(['by']);
  });
});

describe('published', () => {
  const says = (scope: string, whole: boolean, notFound: string) => published({ scope, whole, notFound }).join(' ');
  it('publishes no absence without a scope', () => {
    expect(says('', true, 'Hydnum repandum')).toContain('stays inside the season');
    expect(says('', true, 'Hydnum repandum')).not.toContain('as absent');
  });
  it('publishes absences with one', () => expect(says('Agaricomycetes', false, 'Hydnum repandum')).toContain('is published as absent'));
  it('tells a whole scope from one that is not', () => {
    expect(says('Agaricomycetes', true, '')).toContain('may take a kind that is not listed as not seen');
    expect(says('Agaricomycetes', false, '')).toContain('Nobody can take');
  });
});

it.each([['2026-10-24', '2026-10-25'], ['2026-12-31', '2027-01-01'], ['2028-02-28', '2028-02-29'], ['soon', '']])('the day after %s is %s', (a, b) => expect(dayAfter(a)).toBe(b));
it('tells the hours', () => {
  expect(clockWords(foray)).toBe('21:00 to 01:30 on the next day');
  expect(clockWords({ date: '2026-10-10', start: '09:30' })).toBe('from 09:30');
  expect(clockWords({ date: '2026-10-10', start: '09:30', end: '12:00' })).toBe('09:30 to 12:00');
  expect(clockWords({ date: '2026-10-10' })).toBe('');
});
