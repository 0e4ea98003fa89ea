import { expect, it } from 'vitest';
import { csvRows } from './csv';

// Cells as RFC 4180, section 2, gives them.
it.each([
  ['a,b\n1,2\n', [{ a: '1', b: '2' }]],
  ['a,b\r\n"1,5","he said ""no"""\r\n', [{ a: '1,5', b: 'he said "no"' }]],
  ['a,b\n"two\nlines",\n', [{ a: 'two\nlines', b: '' }]],
  ["a\n'=1+1\n'tis\n", [{ a: '=1+1' }, { a: "'tis" }]],
  ['a,b\n1', [{ a: '1', b: '' }]],
  ['a\n', []],
  ['', []],
])('%j', (text, rows) => expect(csvRows(text)).toEqual(rows));
