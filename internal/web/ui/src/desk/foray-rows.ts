// Rows of the foray table: what stands in them, what is sent, what is wrong,
// and how they are told.

import type { ForayRow } from '../api/foray';
import type { Qualifier } from '../api/types';

/** The columns in their order. */
export const COLUMNS = ['number', 'name', 'qualifier', 'determiner', 'substrate', 'host', 'count', 'kept'] as const;
export type Column = (typeof COLUMNS)[number];

/** What stands over a column, and how it is called in full. */
export const HEADS: Record<Column, { short: string; full: string }> = {
  number: { short: 'number', full: 'Field number' },
  name: { short: 'name', full: 'Name' },
  qualifier: { short: 'qualifier', full: 'Qualifier' },
  determiner: { short: 'determiner', full: 'Determiner' },
  substrate: { short: 'grows on', full: 'Grows on' },
  host: { short: 'host', full: 'Tree or plant' },
  count: { short: 'count', full: 'How many' },
  kept: { short: 'kept', full: 'Specimen kept' },
};

export const QUALIFIERS: readonly Qualifier[] = ['cf.', 'aff.', 'agg.', 'sp.'];

/** The rows that a foray may have; the server takes no more. */
export const MOST = 10000;

/** What stands in the cells; `kept` is "yes" or blank. */
export type Cells = Record<Column, string>;

/** A fault and the cell it is at; '' where it is the whole row's. */
export interface RowFault {
  column: Column | '';
  says: string;
}

/** A row as it stands on the screen. */
export interface Row extends Cells {
  id: string;
  /** What the server has, '' while it has nothing. */
  sent: string;
  /** What was filled in by itself: it does not make a row. */
  auto: Partial<Cells>;
  fault: RowFault | null;
  /** What isBlank and isChanged said when the row was last touched; ten thousand rows are counted by it. */
  blank: boolean;
  changed: boolean;
}

const BLANK: Cells = { number: '', name: '', qualifier: '', determiner: '', substrate: '', host: '', count: '', kept: '' };

/** A row with nothing in it. */
export function blankRow(id: string): Row {
  return { ...BLANK, id, sent: '', auto: {}, fault: null, blank: true, changed: false };
}

// Parts cells in a text to compare; no keyboard types it.
const BETWEEN = '\u001f';

/** What is in the cells, as one text to compare. */
export function contents(r: Cells): string {
  let out = '';
  for (const c of COLUMNS) out += r[c].trim() + BETWEEN;
  return out;
}

/** The text of a row that was given its number meanwhile. */
export function withNumber(text: string, number: string): string {
  return number + text.slice(text.indexOf(BETWEEN));
}

/** A row that the server has. */
export function keptRow(r: ForayRow): Row {
  const row: Row = {
    ...blankRow(r.id),
    number: r.number ?? '',
    name: r.name,
    qualifier: r.qualifier ?? '',
    determiner: r.determiner ?? '',
    substrate: r.substrate ?? '',
    host: r.host ?? '',
    count: r.count ? `${r.count}` : '',
    kept: r.kept ? 'yes' : '',
  };
  row.sent = contents(row);
  row.blank = false;
  return row;
}

/** Whether nobody has written anything into the row. */
export function isBlank(r: Row): boolean {
  return r.sent === '' && COLUMNS.every((c) => r[c].trim() === '' || r[c] === r.auto[c]);
}

/** Whether the server does not have the row as it stands. */
export function isChanged(r: Row): boolean {
  return !isBlank(r) && contents(r) !== r.sent;
}

/** What can be told to be wrong without asking; the server tells the rest. */
export function faultOf(r: Cells): RowFault | null {
  if (r.name.trim() === '') return { column: 'name', says: 'no name: type one, or clear the whole row' };
  if (r.qualifier.trim() !== '' && !(QUALIFIERS as readonly string[]).includes(r.qualifier.trim())) {
    return { column: 'qualifier', says: `“${r.qualifier.trim()}” is no qualifier: use cf., aff., agg. or sp.` };
  }
  if (r.count.trim() !== '' && !/^[1-9]\d{0,5}$/.test(r.count.trim())) {
    return { column: 'count', says: `“${r.count.trim()}” is no count: write a whole number, or leave it blank` };
  }
  return null;
}

/** What is sent of a row that has no fault of its own. */
export function sendable(r: Row): ForayRow {
  const out: ForayRow = { id: r.id, name: r.name.trim() };
  if (r.number.trim()) out.number = r.number.trim();
  if (r.qualifier.trim()) out.qualifier = r.qualifier.trim() as Qualifier;
  if (r.determiner.trim()) out.determiner = r.determiner.trim();
  if (r.substrate.trim()) out.substrate = r.substrate.trim();
  if (r.host.trim()) out.host = r.host.trim();
  if (r.count.trim()) out.count = Number(r.count.trim());
  if (r.kept) out.kept = true;
  return out;
}

const FIELDS: Record<string, Column> = { fieldName: 'name', numberSeen: 'count', voucher: 'kept', namedBy: 'determiner', by: 'determiner' };

/** The column of a field of the server's. */
export function columnOf(field: string | undefined): Column | '' {
  if (!field) return '';
  if ((COLUMNS as readonly string[]).includes(field)) return field as Column;
  return FIELDS[field] ?? '';
}

/** Puts what was typed into the form that the column has: "CF" is cf., "x" is yes. */
export function tidied(column: Column, text: string): string {
  const t = text.trim();
  if (column === 'qualifier') {
    const bare = t.toLowerCase().replace(/\.$/, '');
    return QUALIFIERS.find((q) => q === `${bare}.`) ?? t;
  }
  if (column === 'kept') return /^(y|yes|x|1|true|kept|✓|✔)$/i.test(t) ? 'yes' : '';
  if (column === 'number') return t.toUpperCase();
  return text;
}

/** The number after one: W26-0305 after W26-0304, 12 after 11; '' after none. */
export function numberAfter(number: string): string {
  const m = /^(.*?)(\d+)$/.exec(number.trim());
  if (!m) return '';
  return `${m[1]}${`${Number(m[2]) + 1}`.padStart(m[2]!.length, '0')}`;
}

/** How a row stands. */
export type Standing = 'blank' | 'kept' | 'fault' | 'written' | 'goes' | 'waits';

/** How a row is told: "kept as W26-0305". */
export function standingWords(s: Standing, r: Row): string {
  switch (s) {
    case 'kept':
      return `kept as ${r.number}`;
    case 'fault':
      return `not kept: ${r.fault?.says ?? ''}`;
    case 'written':
      return 'kept when you leave the row';
    case 'goes':
      return 'on its way';
    case 'waits':
      return 'waits until in reach';
    default:
      return '';
  }
}
