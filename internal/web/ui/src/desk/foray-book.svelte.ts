/** The rows of a foray table while they are typed: kept on the device at once, sent in the background. */
import { refusalOf } from '../api/call';
import type { ForayRow, ForayTableDone } from '../api/foray';
import { readPasted, type Pasted } from './foray-paste';
import {
  blankRow, columnOf, COLUMNS, contents, faultOf, isBlank, isChanged, keptRow, MOST, numberAfter, sendable, tidied, withNumber,
  type Cells, type Column, type Row, type Standing,
} from './foray-rows';

/** Blank rows that wait below the last one written. */
const SPARE = 3;
/** Rows that are sent at once. */
const BATCH = 500;
const waits = [2000, 5000, 15000, 30000];

/** What a table of rows needs from outside. */
export interface Outside {
  send: (rows: ForayRow[]) => Promise<ForayTableDone>;
  store: Pick<Storage, 'getItem' | 'setItem' | 'removeItem'>;
  /** Under which the rows not sent yet are kept on the device. */
  key: string;
  id: () => string;
  /** Numbers printed on slips for this foray that no record bears, in their order. */
  slips?: () => readonly string[];
}

/** What became of a paste, to be told and to be taken back. */
export interface PasteDone {
  pasted: Pasted;
  rows: number;
  refused: string;
}

interface Saved {
  id: string;
  cells: string[];
  sent: string;
}

function look(row: Row): void {
  row.blank = isBlank(row);
  row.changed = !row.blank && isChanged(row);
}

/** ForayBook holds the rows. `version` counts up with every change; what is shown reads it. */
export class ForayBook {
  version = $state(0);
  /** Row that the keyboard is in; it is sent when it is left. */
  writing = $state('');
  /** Why rows wait, when the server cannot be reached. */
  apart = $state('');
  /** Set when the device keeps nothing: then the page says so. */
  unkept = $state(false);
  rows: Row[] = [];

  private byId = new Map<string, Row>();
  private going = new Set<string>();
  private held = new Set<string>();
  private sending = false;
  private tries = 0;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private keeping: ReturnType<typeof setTimeout> | undefined;
  private before: { rows: Row[] } | null = null;
  private ended = false;

  constructor(private readonly outside: Outside) {
    this.spare();
  }

  /** load takes the server's rows, and lays over them what was typed and not sent. */
  load(rows: ForayRow[]): void {
    const typed = this.saved();
    this.rows = rows.map(keptRow);
    this.byId = new Map(this.rows.map((r) => [r.id, r]));
    for (const s of typed) {
      const row = this.byId.get(s.id) ?? this.append(blankRow(s.id));
      COLUMNS.forEach((c, i) => (row[c] = s.cells[i] ?? ''));
      look(row);
      row.fault = row.changed ? faultOf(row) : null;
    }
    this.changed();
    this.soon(300);
  }

  private append(row: Row): Row {
    this.rows.push(row);
    this.byId.set(row.id, row);
    return row;
  }

  private spare(): void {
    let blank = 0;
    while (blank < this.rows.length && this.rows[this.rows.length - 1 - blank]!.blank) blank++;
    for (; blank < SPARE && this.rows.length < MOST + SPARE; blank++) this.append(blankRow(this.outside.id()));
  }

  private changed(): void {
    this.spare();
    this.version++;
    clearTimeout(this.keeping);
    this.keeping = setTimeout(() => this.keep(), 250);
  }

  /** set writes into a cell. The first word of a row brings along number and determiner of the row above. */
  set(at: number, column: Column, text: string): void {
    const row = this.rows[at];
    if (!row || row[column] === text) return;
    if (row.blank && text.trim() !== '') this.bringAlong(at, column);
    row[column] = text;
    row.fault = null;
    look(row);
    this.before = null;
    this.changed();
  }

  private bringAlong(at: number, column: Column): void {
    const row = this.rows[at]!;
    const above = this.above(at);
    const auto: Partial<Cells> = above ? { determiner: above.determiner } : {};
    // Slips are numbered one after another: the figure goes on where one was typed.
    if (!above) auto.number = undefined;
    else if (above.number !== '' && above.sent === '') auto.number = numberAfter(above.number);
    else if (at > 0 && this.rows[at - 1] === above && above.number !== '' && this.typed.has(above.id)) auto.number = numberAfter(above.number);
    if (auto.number && this.numberStands(auto.number)) delete auto.number;
    auto.number ??= this.nextSlip();
    if (auto.number === undefined) delete auto.number;
    for (const c of Object.keys(auto) as Column[]) {
      if (row[c] === '' && c !== column) row[c] = auto[c]!;
    }
    row.auto = auto;
    if (auto.number) this.typed.add(row.id);
  }

  private above(at: number): Row | undefined {
    for (let i = at - 1; i >= 0; i--) if (!this.rows[i]!.blank) return this.rows[i];
    return undefined;
  }

  private numberStands(number: string): boolean {
    return this.rows.some((r) => r.number === number);
  }

  // The first slip of the foray that stands in no row: it is offered, and can be written over.
  private nextSlip(): string | undefined {
    const slips = this.outside.slips?.() ?? [];
    if (slips.length === 0) return undefined;
    const stand = new Set(this.rows.map((r) => r.number));
    return slips.find((n) => !stand.has(n));
  }

  /** gone takes a row off that the server has taken out. */
  gone(id: string): void {
    this.rows = this.rows.filter((r) => r.id !== id);
    this.byId.delete(id);
    this.before = null;
    this.changed();
  }

  /** back puts a row in again that the server has put back, before the blank ones. */
  back(row: ForayRow): void {
    if (this.byId.has(row.id)) return;
    const kept = keptRow(row);
    const at = this.rows.findLastIndex((r) => !r.blank) + 1;
    this.rows.splice(at, 0, kept);
    this.byId.set(row.id, kept);
    this.before = null;
    this.changed();
  }

  // Rows whose number was typed or went on from a typed one, not given by the server.
  private typed = new Set<string>();

  /** tidy puts a cell into its form when it is left. */
  tidy(at: number, column: Column): void {
    const row = this.rows[at];
    if (!row) return;
    if (column === 'number' && row.number.trim() !== '') this.typed.add(row.id);
    const text = tidied(column, row[column]);
    if (text !== row[column]) this.set(at, column, text);
  }

  /** copyDown takes over the cell above; a number goes on by one. */
  copyDown(at: number, column: Column): void {
    const above = this.rows[at - 1];
    if (above) this.set(at, column, column === 'number' ? numberAfter(above.number) : above[column]);
  }

  /** clear empties a row that was never kept. */
  clear(at: number): void {
    const row = this.rows[at];
    if (!row || row.sent !== '') return;
    Object.assign(row, blankRow(row.id));
    this.changed();
  }

  /** paste lays a table of cells over the rows from a cell on. */
  paste(at: number, column: Column, text: string): PasteDone {
    const pasted = readPasted(text, column);
    const n = pasted.rows.length;
    const refuse = (says: string) => ({ pasted, rows: 0, refused: says });
    if (n === 0) return refuse('Nothing was pasted: there are no cells in it that stand for anything here.');
    if (at + n > MOST) return refuse(`Nothing was pasted: a foray has room for ${MOST} rows, and this would make ${at + n}. Paste less at once.`);
    this.before = { rows: this.rows.map((r) => ({ ...r })) };
    while (this.rows.length < at + n) this.append(blankRow(this.outside.id()));
    pasted.rows.forEach((cells, i) => {
      const row = this.rows[at + i]!;
      Object.assign(row, cells);
      if (cells.number) this.typed.add(row.id);
      look(row);
      row.fault = row.changed ? faultOf(row) : null;
    });
    this.changed();
    this.soon(50);
    return { pasted, rows: n, refused: '' };
  }

  get canTakeBack(): boolean {
    void this.version;
    return this.before !== null;
  }

  /** takeBack undoes the last paste, but for rows that are kept already: those get their old words back. */
  takeBack(): void {
    const before = this.before;
    if (!before) return;
    this.before = null;
    const old = new Map(before.rows.map((r) => [r.id, r]));
    this.rows = this.rows.filter((r) => old.has(r.id) || r.sent !== '' || this.going.has(r.id));
    for (const row of this.rows) {
      const was = old.get(row.id);
      if (was && (was.sent !== '' || row.sent === '')) for (const c of COLUMNS) row[c] = was[c];
      row.fault = null;
      look(row);
    }
    this.byId = new Map(this.rows.map((r) => [r.id, r]));
    this.changed();
    this.soon(50);
  }

  /** enter tells which row the keyboard is in; the one that was left is looked at and sent. */
  enter(id: string): void {
    if (id === this.writing) return;
    const left = this.byId.get(this.writing);
    this.writing = id;
    if (left?.changed) left.fault = faultOf(left);
    if (left) this.version++;
    this.soon(300);
  }

  /** hold keeps a row back while something about it is looked up; what it returns lets it go. */
  hold(id: string): () => void {
    this.held.add(id);
    return () => {
      this.held.delete(id);
      this.soon(100);
    };
  }

  standing(row: Row): Standing {
    if (row.blank) return 'blank';
    if (row.fault) return 'fault';
    if (!row.changed) return 'kept';
    if (row.id === this.writing) return 'written';
    return this.apart !== '' ? 'waits' : 'goes';
  }

  /** counts tells how many rows stand how. */
  counts(): Record<Standing, number> {
    void this.version;
    const out: Record<Standing, number> = { blank: 0, kept: 0, fault: 0, written: 0, goes: 0, waits: 0 };
    for (const r of this.rows) out[this.standing(r)]++;
    return out;
  }

  /** nextFault finds the next row with a fault, round the end; -1 when there is none. */
  nextFault(after: number): number {
    for (let i = 1; i <= this.rows.length; i++) {
      const at = (after + i) % this.rows.length;
      if (this.rows[at]!.fault) return at;
    }
    return -1;
  }

  private soon(ms: number): void {
    if (this.sending || this.ended) return;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.send(), ms);
  }

  /** again tries at once, as when the device is in reach again. */
  again(): void {
    this.tries = 0;
    this.soon(0);
  }

  private async send(): Promise<void> {
    const due = this.rows.filter((r) => r.id !== this.writing && !r.fault && r.changed && !this.held.has(r.id)).slice(0, BATCH);
    if (due.length === 0 || this.sending) return;
    for (const r of due) r.fault = faultOf(r);
    const batch = due.filter((r) => !r.fault);
    const sent = new Map(batch.map((r) => [r.id, { contents: contents(r), number: r.number }]));
    this.sending = true;
    this.going = new Set(sent.keys());
    let wait = 0;
    try {
      if (batch.length > 0) this.answered(await this.outside.send(batch.map(sendable)), sent);
      this.apart = '';
      this.tries = 0;
    } catch (thrown) {
      const refused = refusalOf(thrown);
      if (refused.outOfReach || refused.status >= 500 || refused.status === 429) {
        this.apart = refused.outOfReach ? 'The server cannot be reached.' : refused.says;
        wait = waits[Math.min(this.tries++, waits.length - 1)]!;
      } else {
        this.apart = '';
        for (const r of batch) if (contents(r) === sent.get(r.id)!.contents) r.fault = { column: '', says: refused.says };
      }
    }
    this.sending = false;
    this.going = new Set();
    this.changed();
    this.soon(wait);
  }

  private answered(done: ForayTableDone, sent: Map<string, { contents: string; number: string }>): void {
    for (const d of done.rows ?? []) {
      const row = this.byId.get(d.id);
      const was = sent.get(d.id);
      if (!row || !was) continue;
      const same = contents(row) === was.contents;
      if (d.fault) {
        if (same) row.fault = { column: columnOf(d.field), says: d.fault };
        continue;
      }
      row.sent = d.number ? withNumber(was.contents, d.number) : was.contents;
      if (d.number && row.number === was.number) row.number = d.number;
      if (same) row.fault = null;
      look(row);
    }
  }

  /** keep writes what is not sent yet to the device. */
  keep(): void {
    clearTimeout(this.keeping);
    const typed: Saved[] = this.rows.filter((r) => r.changed).map((r) => ({ id: r.id, cells: COLUMNS.map((c) => r[c]), sent: r.sent }));
    try {
      if (typed.length > 0) this.outside.store.setItem(this.outside.key, JSON.stringify(typed));
      else this.outside.store.removeItem(this.outside.key);
      this.unkept = false;
    } catch {
      this.unkept = typed.length > 0;
    }
  }

  private saved(): Saved[] {
    try {
      const read: unknown = JSON.parse(this.outside.store.getItem(this.outside.key) ?? '[]');
      if (!Array.isArray(read)) return [];
      return read.filter((s): s is Saved => typeof s?.id === 'string' && Array.isArray(s.cells) && s.cells.every((c: unknown) => typeof c === 'string'));
    } catch {
      return [];
    }
  }

  /** end sends what was left and keeps the rest on the device. */
  end(): void {
    this.enter('');
    this.keep();
    clearTimeout(this.timer);
    void this.send().finally(() => this.keep());
    this.ended = true;
  }
}
