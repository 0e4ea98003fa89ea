import { describe, expect, it } from 'vitest';
import { isOurs, readRoute } from './router';

const read = (path: string) => readRoute(new URL(path, 'http://trug.example'));

describe('readRoute', () => {
  it.each([
    ['/', 'front', ''], ['/daybook?date=2026-10-09', 'daybook', ''], ['/new', 'new', ''], ['/record/abc', 'sheet', 'abc'],
    ['/record/abc/', 'sheet', 'abc'], ['/record/abc/change?view=top', 'change', 'abc'], ['/table?find=x', 'table', ''],
    ['/book', 'book', ''], ['/squares', 'squares', ''], ['/deposits', 'deposits', ''], ['/desk', 'desk', ''], ['/setup', 'setup', ''],
    ['/record', 'nowhere', ''], ['/record/abc/burn', 'nowhere', 'abc'], ['/daybook/more', 'nowhere', ''], ['/record/%E0%A4%A', 'nowhere', ''],
    ['/constructor', 'nowhere', ''], ['/desk/sites', 'desk-sites', ''], ['/desk/sites/abc', 'desk-site', 'abc'],
    ['/desk/forays/new', 'desk-foray', 'new'], ['/desk/forays/abc/table', 'desk-foray-table', 'abc'], ['/desk/forays/abc/photographs', 'desk-foray-photographs', 'abc'], ['/desk/forays/abc/constructor', 'nowhere', 'abc'], ['/desk/people/abc', 'desk-person', 'abc'],
    ['/me', 'me', ''], ['/me/kept', 'kept', 'me'], ['/me/kept/abc', 'kept', 'abc'], ['/me/kept/abc/more', 'nowhere', ''], ['/me/more', 'nowhere', ''],
    ['/desk/people/abc/kept', 'desk-person-kept', 'abc'], ['/desk/requests', 'desk-requests', ''], ['/desk/requests/abc', 'nowhere', 'abc'],
    ['/desk/names', 'desk-names', ''], ['/desk/paper', 'desk-paper', ''], ['/desk/names/abc', 'nowhere', 'abc'],
    ['/desk/sites/abc/table', 'nowhere', 'abc'], ['/desk/constructor', 'nowhere', ''], ['/desk/sites/%E0%A4%A', 'nowhere', ''],
  ])('%s is %s', (path, page, id) => {
    const route = read(path);
    expect([route.page, route.id]).toEqual([page, id]);
  });
  it('keeps the query', () => {
    expect(read('/record/a/change?view=spore%20print').query.get('view')).toBe('spore print');
  });
});

describe('isOurs', () => {
  const here = new URL('http://trug.example/book');
  it.each([
    ['/daybook', true], ['/api/deposits/1/archive', false], ['/enter/TOKEN', false], ['/assets/a.js', false],
    ['http://elsewhere.example/daybook', false], ['/entering', true],
  ])('%s: %s', (to, ours) => expect(isOurs(new URL(to, here), here)).toBe(ours));
});
