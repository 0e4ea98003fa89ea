import { describe, expect, it } from 'vitest';
import go from '../../../../app/table.go?raw';
import { blankPerson, formOfPerson, GROUPS, lastAbout, personFaults, personOf } from './person';

describe('the form of a person', () => {
  it('goes there and back unchanged', () => {
    const p = {
      id: 'a', code: 'D1', name: 'Philippa', credit: 'P. V.-Y.', minor: false, guardian: '', roles: ['determiner' as const], scope: 'brackets', groups: ['brackets'], hours: 2.5,
      consents: [{ about: 'name' as const, given: '2026-09-01', withdrawn: '2026-10-01', how: 'on paper' }], link: '', notes: [],
    };
    expect(personOf('a', formOfPerson(p))).toEqual(p);
  });
  it('publishes adults by their name unless they say otherwise, and no child by theirs', () => {
    const adult = { ...blankPerson('R1'), name: 'Wren' };
    expect(personOf('a', adult).credit).toBe('Wren');
    expect(personOf('a', { ...adult, withheld: true, credit: 'W.' }).credit).toBe('');
    expect(personOf('a', { ...adult, minor: true }).credit).toBe('');
  });
  it('leaves out what belongs to other roles', () => {
    const p = personOf('a', { ...blankPerson('R1'), name: 'Wren', scope: 'x', groups: ['cups'], hours: '3', guardian: 'b' });
    expect([p.scope, p.groups, p.hours, p.guardian]).toEqual(['', [], 0, '']);
  });
  it.each([
    [{ name: ' ' }, 'name'], [{ roles: [] }, 'roles'], [{ minor: true }, 'guardian'], [{ roles: ['determiner' as const], hours: 'some' }, 'hours'],
    [{ consents: [{ about: 'name' as const, given: '' }] }, 'consents.0'],
    [{ consents: [{ about: 'name' as const, given: '2026-10-02', withdrawn: '2026-10-01' }] }, 'consents.0'],
  ])('%j has its fault at %s', (over, field) => expect(Object.keys(personFaults({ ...blankPerson('R1'), name: 'Wren', ...over }))).toEqual([field]));
  it('takes the latest consent about a thing', () =>
    expect(lastAbout([{ about: 'name', given: 'a' }, { about: 'letters', given: 'a' }, { about: 'name', given: 'b' }], 'name')).toBe(2));
});

it('has the piles that the server sorts the table by', () => {
  const piles = [...go.matchAll(/^\t\{"([a-z-]+)", "([^"]+)",/gm)].map((m) => [m[1], m[2]]).filter(([code]) => code !== 'unsorted');
  expect(piles).toEqual(GROUPS.map((g) => [...g]));
});
