import { describe, expect, it } from 'vitest';
import { ALL, FACTS, factWords, narrows, nextSort, position, readQuery, sortedBy, writeQuery, type Query } from './book';

describe('the query in the address', () => {
  it('is empty for the whole book', () => {
    expect(writeQuery(ALL)).toBe('');
    expect(readQuery('')).toEqual(ALL);
  });
  it('comes back as it was written', () => {
    const q: Query = {
      text: 'ash & "oak"',
      facts: ['lacks:top', 'no-name'],
      form: 'gilled',
      foray: 'O07',
      site: 'S1',
      colour: '#a16d3f',
      within: 5,
      colourName: 'yellowish brown',
      colourOf: 'cap_color',
      sort: 'colour',
      from: 50,
    };
    expect(readQuery(writeQuery(q))).toEqual(q);
  });
  it('drops a colour that is none, and its order with it', () => {
    const q = readQuery('?colour=red&sort=colour&within=-4');
    expect([q.colour, q.sort, q.within]).toEqual(['', '-number', 10]);
  });
  it('never trips over a stranger address', () => {
    for (const s of ['?from=-3', '?from=x', '?from=1.5', '?sort=drop', '?fact=', '?%E0%A4%A', '?sort=--date']) {
      const q = readQuery(s);
      expect(q.from).toBe(0);
      expect(['-number', 'number']).toContain(q.sort);
      expect(q.facts).toEqual([]);
    }
    expect(readQuery('?fact=a&fact=a').facts).toEqual(['a']);
  });
  it('asks the server with order and limit', () => expect(writeQuery(ALL, 50)).toBe('?sort=-number&limit=50'));
  it('knows when it narrows', () => {
    expect(narrows(ALL)).toBe(false);
    expect(narrows({ ...ALL, sort: 'name', from: 50 })).toBe(false);
    expect(narrows({ ...ALL, facts: ['mine'] })).toBe(true);
  });
});

describe('sorting', () => {
  it('turns numbers and dates, newest first', () => {
    expect(nextSort('name', 'date')).toBe('-date');
    expect(nextSort('-date', 'date')).toBe('date');
    expect(nextSort('-number', 'name')).toBe('name');
    expect(nextSort('name', 'name')).toBe('name');
  });
  it('speaks aria-sort', () => {
    expect([sortedBy('-date', 'date'), sortedBy('date', 'date'), sortedBy('name', 'date')]).toEqual(['descending', 'ascending', 'none']);
  });
});

describe('words', () => {
  it('says where in the book one is', () => {
    expect(position(0, 50, 242)).toBe('1 to 50 of 242 records');
    expect(position(200, 42, 242)).toBe('201 to 242 of 242 records');
    expect(position(0, 7, 7)).toBe('All 7 records');
    expect(position(0, 1, 1)).toBe('1 record');
    expect(position(0, 0, 0)).toBe('No records');
    expect(position(500, 0, 242)).toBe('None of 242 records');
  });
  it('has words for every fact', () => {
    for (const f of FACTS) expect(factWords(f.fact)).toBe(f.words);
    expect(factWords('lacks:cut')).toBe('lacks cut');
  });
});
