import { describe, expect, it } from 'vitest';
import { blankRow, columnOf, contents, faultOf, isBlank, isChanged, keptRow, numberAfter, sendable, standingWords, tidied } from './foray-rows';

const row = (over: object) => ({ ...blankRow('a'), ...over });

describe('rows', () => {
  it('are blank while they hold what was filled in by itself alone', () => {
    expect(isBlank(row({}))).toBe(true);
    expect(isBlank(row({ determiner: 'D1', number: '302', auto: { determiner: 'D1', number: '302' } }))).toBe(true);
    expect(isBlank(row({ determiner: 'D2', auto: { determiner: 'D1' } }))).toBe(false);
    expect(isBlank(row({ name: 'x' }))).toBe(false);
    expect(isBlank(row({ sent: '[]' }))).toBe(false);
  });
  it('come back from the server unchanged', () => {
    const r = keptRow({ id: 'a', number: 'W26-0305', name: 'Mycena pura', qualifier: 'cf.', determiner: 'D1', count: 3, kept: true });
    expect(isChanged(r)).toBe(false);
    expect(sendable(r)).toEqual({ id: 'a', number: 'W26-0305', name: 'Mycena pura', qualifier: 'cf.', determiner: 'D1', count: 3, kept: true });
    r.name = ' Mycena pura ';
    expect(isChanged(r)).toBe(false);
    r.name = 'Mycena';
    expect(isChanged(r)).toBe(true);
    expect(contents(r)).not.toBe(r.sent);
  });
  it.each([
    [{ name: '' }, 'name'], [{ name: 'x', count: 'many' }, 'count'], [{ name: 'x', count: '0' }, 'count'], [{ name: 'x', count: '1.5' }, 'count'],
    [{ name: 'x', qualifier: 'perhaps' }, 'qualifier'], [{ name: 'x', qualifier: 'cf.', count: '12' }, undefined],
  ])('%j has its fault at %s', (over, column) => expect(faultOf(row(over))?.column).toBe(column));
});

describe('tidied', () => {
  it.each([['qualifier', 'CF', 'cf.'], ['qualifier', 'sp.', 'sp.'], ['qualifier', 'odd', 'odd'], ['kept', 'X', 'yes'], ['kept', 'no', ''], ['number', ' w26-0301', 'W26-0301'], ['name', 'a b ', 'a b ']] as const)(
    '%s %j is %j',
    (column, text, is) => expect(tidied(column, text)).toBe(is),
  );
});

describe('numberAfter', () => {
  it.each([['W26-0304', 'W26-0305'], ['W26-0999', 'W26-1000'], ['301', '302'], ['099', '100'], ['', ''], ['none', '']])('%j: %j', (a, b) =>
    expect(numberAfter(a)).toBe(b),
  );
});

describe('columnOf', () => {
  it.each([['number', 'number'], ['fieldName', 'name'], ['numberSeen', 'count'], ['id', ''], [undefined, '']])('%s: %s', (f, c) => expect(columnOf(f)).toBe(c));
});

it('tells how a row stands', () => {
  expect(standingWords('kept', row({ number: 'W26-0305' }))).toBe('kept as W26-0305');
  expect(standingWords('fault', row({ fault: { column: 'name', says: 'no name' } }))).toBe('not kept: no name');
});
