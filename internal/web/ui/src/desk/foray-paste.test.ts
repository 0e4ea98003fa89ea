import { describe, expect, it } from 'vitest';
import { columnCalled, isTable, parseCells, readPasted } from './foray-paste';

describe('parseCells', () => {
  it.each<[string, string[][]]>([
    ['a\tb\nc\td', [['a', 'b'], ['c', 'd']]],
    ['a\tb\r\nc\td\r\n', [['a', 'b'], ['c', 'd']]],
    ['a\t\t\n\t\tb', [['a', '', ''], ['', '', 'b']]],
    ['"a\tb"\tc', [['a\tb', 'c']]],
    ['"two\nlines"\tc', [['two lines', 'c']]],
    ['"he said ""soil"""\tc', [['he said "soil"', 'c']]],
    ['5" across\tc', [['5" across', 'c']]],
    ['"open\tc\nd', [['"open', 'c'], ['d']]],
    ['', [['']]],
  ])('%j', (text, cells) => expect(parseCells(text)).toEqual(cells));

  it('loses no character of plain cells', () => {
    const rows = Array.from({ length: 10000 }, (_, i) => [`W26-${i}`, 'Mycena pura', '', 'D1']);
    expect(parseCells(rows.map((r) => r.join('\t')).join('\r\n'))).toEqual(rows);
  });
});

describe('columnCalled', () => {
  it.each([['Det.', 'determiner'], ['Scientific_name', 'name'], ['FIELD NO.', 'number'], ['grows on', 'substrate'], ['colour', null], ['', null]])(
    '%j means %j',
    (head, column) => expect(columnCalled(head)).toBe(column),
  );
});

describe('readPasted', () => {
  it('goes by headings in any order, wherever the keyboard is', () => {
    const got = readPasted('species\tdet.\tcolour\tcount\nMycena pura\tD1\tlilac\t3\nRussula nobilis\t\t\t', 'host');
    expect(got.header).toBe(true);
    expect(got.columns).toEqual(['name', 'determiner', 'count']);
    expect(got.unknown).toEqual(['colour']);
    expect(got.rows).toEqual([{ name: 'Mycena pura', determiner: 'D1', count: '3' }, { name: 'Russula nobilis', determiner: '', count: '' }]);
  });
  it('goes from the cell to the right without headings', () => {
    const got = readPasted('Mycena pura\tCF\tD1\nName of mine\t\tD2', 'name');
    expect(got.header).toBe(false);
    expect(got.rows).toEqual([{ name: 'Mycena pura', qualifier: 'cf.', determiner: 'D1' }, { name: 'Name of mine', qualifier: '', determiner: 'D2' }]);
  });
  it('leaves out blank lines and what lies beyond the last column', () => {
    const got = readPasted('3\tx\tmore\n\n\t\t\n4\tno\t', 'count');
    expect(got.rows).toEqual([{ count: '3', kept: 'yes' }, { count: '4', kept: '' }]);
    expect(got.beyond).toBe(true);
  });
  it('does not take a line of data for headings', () => {
    expect(readPasted('On\tMycena pura', 'number').header).toBe(false);
  });
});

describe('isTable', () => {
  it.each([['Mycena pura', false], ['Mycena pura\n', false], ['a\tb', true], ['a\nb', true]])('%j: %s', (text, is) => expect(isTable(text)).toBe(is));
});
