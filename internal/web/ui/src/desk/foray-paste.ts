// Reading what was copied from a spreadsheet: cells between tabs, rows on lines.

import { COLUMNS, tidied, type Column } from './foray-rows';

/** parseCells reads tab-separated text; a cell in quotation marks may hold tabs, lines and doubled marks. */
export function parseCells(text: string): string[][] {
  const rows: string[][] = [];
  let row: string[] = [];
  let at = 0;
  const s = text.replace(/\r\n?/g, '\n').replace(/\n$/, '');
  for (;;) {
    let cell = '';
    if (s[at] === '"' && closes(s, at) >= 0) {
      const end = closes(s, at);
      cell = s.slice(at + 1, end).replaceAll('""', '"').replace(/\s*\n\s*/g, ' ');
      at = end + 1;
    } else {
      let end = at;
      while (end < s.length && s[end] !== '\t' && s[end] !== '\n') end++;
      cell = s.slice(at, end);
      at = end;
    }
    row.push(cell.trim());
    if (s[at] === '\t') {
      at++;
      continue;
    }
    rows.push(row);
    row = [];
    if (at >= s.length) return rows;
    at++;
  }
}

// closes finds the mark that ends a quoted cell; -1 when the mark is part of the text.
function closes(s: string, from: number): number {
  let at = from + 1;
  for (;;) {
    at = s.indexOf('"', at);
    if (at < 0) return -1;
    if (s[at + 1] === '"') {
      at += 2;
      continue;
    }
    return at + 1 === s.length || s[at + 1] === '\t' || s[at + 1] === '\n' ? at : -1;
  }
}

const CALLED: Record<Column, readonly string[]> = {
  number: ['number', 'no', 'nr', 'field number', 'field no', 'slip'],
  name: ['name', 'scientific name', 'species', 'taxon', 'field name', 'find'],
  qualifier: ['qualifier', 'qual', 'identification qualifier'],
  determiner: ['determiner', 'det', 'determined by', 'named by', 'identified by'],
  substrate: ['substrate', 'grows on', 'on', 'growing on'],
  host: ['host', 'tree', 'plant', 'tree or plant', 'host plant', 'with'],
  count: ['count', 'how many', 'number seen', 'quantity', 'fruitbodies'],
  kept: ['kept', 'specimen', 'specimen kept', 'voucher', 'packet'],
};

/** The column that a heading means; null when it means none. */
export function columnCalled(head: string): Column | null {
  const h = head.toLowerCase().replace(/[._]/g, ' ').replace(/\s+/g, ' ').trim();
  return COLUMNS.find((c) => CALLED[c].includes(h)) ?? null;
}

/** What was pasted, by column. */
export interface Pasted {
  rows: Partial<Record<Column, string>>[];
  /** Columns that were filled, in our order. */
  columns: Column[];
  /** Headings that mean nothing here; their columns are left out. */
  unknown: string[];
  header: boolean;
  /** Cells beyond the last column were left out. */
  beyond: boolean;
}

/**
 * readPasted lays cells into columns: by their heading where the first line is
 * one (a name column and nothing but headings that we know, or half of them at
 * least), else from the column that the keyboard was in to the right.
 */
export function readPasted(text: string, from: Column): Pasted {
  const cells = parseCells(text);
  const first = cells[0] ?? [];
  const called = first.map(columnCalled);
  const known = called.filter((c) => c !== null).length;
  const filled = first.filter((c) => c !== '').length;
  const header = known > 0 && called.includes('name') && (known * 2 >= filled || known >= 3);
  const start = COLUMNS.indexOf(from);
  const order: (Column | null)[] = header ? called : first.map((_, i) => COLUMNS[start + i] ?? null);
  const width = Math.max(0, ...cells.map((r) => r.length));
  while (!header && order.length < width) order.push(COLUMNS[start + order.length] ?? null);
  const rows = (header ? cells.slice(1) : cells)
    .filter((r) => r.some((c) => c !== ''))
    .map((r) => {
      const out: Partial<Record<Column, string>> = {};
      r.forEach((text, i) => {
        const column = order[i];
        if (column) out[column] = tidied(column, text);
      });
      return out;
    });
  return {
    rows,
    columns: COLUMNS.filter((c) => order.includes(c)),
    unknown: header ? first.filter((h, i) => h !== '' && called[i] === null) : [],
    header,
    beyond: !header && width > COLUMNS.length - start,
  };
}

/** Whether what is pasted is more than the text of one cell. */
export function isTable(text: string): boolean {
  return /[\t\n\r]/.test(text.trimEnd());
}
