import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Refused } from '../api/call';
import type { ForayRow, ForayTableDone } from '../api/foray';
import { ForayBook } from './foray-book.svelte';

function memory() {
  const held = new Map<string, string>();
  return { getItem: (k: string) => held.get(k) ?? null, setItem: (k: string, v: string) => void held.set(k, v), removeItem: (k: string) => void held.delete(k), held };
}

/** A server that keeps rows as the true one does: gives numbers, refuses a taken one and unknown substrates. */
function server() {
  const rows = new Map<string, ForayRow>();
  const holder = new Map<string, string>();
  let last = 300;
  const s = {
    rows, calls: 0, out: false, refuse: null as Refused | null,
    send: async (given: ForayRow[]): Promise<ForayTableDone> => {
      s.calls++;
      if (s.out) throw new Refused(0, 'out of reach');
      if (s.refuse) throw s.refuse;
      const done = given.map((r) => {
        if (r.substrate === 'cheese') return { id: r.id, fault: '"cheese" is nothing', field: 'substrate' };
        const number = r.number ? (r.number.startsWith('W26-') ? r.number : `W26-${r.number.padStart(4, '0')}`) : `W26-${String(++last).padStart(4, '0')}`;
        if ((holder.get(number) ?? r.id) !== r.id) return { id: r.id, fault: `${number} is taken`, field: 'number' };
        holder.set(number, r.id);
        rows.set(r.id, { ...r, number });
        return { id: r.id, number };
      });
      return { rows: done, added: 0, same: 0, faults: 0 };
    },
  };
  return s;
}

let n = 0;
function book(s = server(), store = memory()) {
  return { b: new ForayBook({ send: s.send, store, key: 'k', id: () => `row-${++n}` }), s, store };
}
const settle = () => vi.advanceTimersByTimeAsync(2000);

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

describe('ForayBook', () => {
  it('keeps a row when it is left, not before, and takes its number', async () => {
    const { b, s } = book();
    b.enter(b.rows[0]!.id);
    b.set(0, 'name', 'Mycena pura');
    await settle();
    expect(s.calls).toBe(0);
    expect(b.standing(b.rows[0]!)).toBe('written');
    b.enter(b.rows[1]!.id);
    await settle();
    expect(b.standing(b.rows[0]!)).toBe('kept');
    expect(b.rows[0]!.number).toBe('W26-0301');
  });

  it('grows blank rows by itself, and brings determiner and typed number along', async () => {
    const { b } = book();
    b.set(0, 'number', '310');
    b.tidy(0, 'number');
    b.set(0, 'determiner', 'D1');
    b.set(0, 'name', 'Mycena pura');
    b.enter(b.rows[1]!.id);
    await settle();
    expect(b.rows[0]!.number).toBe('W26-0310');
    b.set(1, 'name', 'Russula nobilis');
    expect([b.rows[1]!.number, b.rows[1]!.determiner]).toEqual(['W26-0311', 'D1']);
    expect(b.rows.length).toBe(5);
    b.set(1, 'name', '');
    expect(b.standing(b.rows[1]!)).toBe('blank');
  });

  it('does not count on a number that the server gave', async () => {
    const { b } = book();
    b.set(0, 'name', 'a');
    b.enter(b.rows[1]!.id);
    await settle();
    b.set(1, 'name', 'b');
    expect(b.rows[1]!.number).toBe('');
  });

  it('says a fault at its cell and sends the row when it is mended', async () => {
    const { b, s } = book();
    b.set(0, 'name', 'a');
    b.set(0, 'substrate', 'cheese');
    b.enter('other');
    await settle();
    expect(b.rows[0]!.fault).toEqual({ column: 'substrate', says: '"cheese" is nothing' });
    expect(b.nextFault(2)).toBe(0);
    const calls = s.calls;
    await settle();
    expect(s.calls).toBe(calls);
    b.set(0, 'substrate', 'soil');
    b.enter('third');
    await settle();
    expect(b.standing(b.rows[0]!)).toBe('kept');
    expect(b.nextFault(0)).toBe(-1);
  });

  it('loses nothing out of reach and on reload, and sends when in reach again', async () => {
    const { b, s, store } = book();
    s.out = true;
    b.set(0, 'name', 'a');
    b.enter('other');
    await settle();
    expect(b.standing(b.rows[0]!)).toBe('waits');
    b.keep();
    const next = new ForayBook({ send: s.send, store, key: 'k', id: () => `row-${++n}` });
    next.load([]);
    expect(next.rows[0]!.name).toBe('a');
    expect(next.rows[0]!.id).toBe(b.rows[0]!.id);
    s.out = false;
    next.again();
    await settle();
    expect(next.standing(next.rows[0]!)).toBe('kept');
    expect(store.held.size).toBe(0);
    b.end();
    await settle();
    expect(s.rows.size).toBe(1);
  });

  it('keeps what was typed while a row was on its way', async () => {
    const { b, s } = book();
    let free = () => {};
    const send = s.send;
    s.send = (rows) => new Promise((done) => (free = () => void send(rows).then(done)));
    const slow = new ForayBook({ send: (r) => s.send(r), store: memory(), key: 'k', id: () => `row-${++n}` });
    slow.set(0, 'name', 'a');
    slow.enter('other');
    await settle();
    slow.set(0, 'name', 'ab');
    free();
    await settle();
    expect(slow.rows[0]!.name).toBe('ab');
    expect(slow.rows[0]!.number).toBe('W26-0301');
    free();
    await settle();
    expect([...s.rows.values()].map((r) => r.name)).toEqual(['ab']);
    expect(b.rows.length).toBe(3);
  });

  it('pastes ten thousand rows, in batches, and says which have faults', async () => {
    const { b, s } = book();
    const text = ['name\tsubstrate\tcount', ...Array.from({ length: 10000 }, (_, i) => `Mycena ${i}\t${i === 7000 ? 'cheese' : 'soil'}\t${i === 12 ? 'many' : 3}`)].join('\n');
    const done = b.paste(0, 'number', text);
    expect(done.rows).toBe(10000);
    for (let i = 0; i < 30; i++) await settle();
    expect(s.calls).toBe(20);
    expect(b.counts()).toMatchObject({ kept: 9998, fault: 2 });
    expect([b.nextFault(0), b.nextFault(12), b.nextFault(7000)]).toEqual([12, 7000, 12]);
    expect(b.paste(1, 'name', text).refused).toContain('10000 rows');
  });

  it('takes a paste back', async () => {
    const { b, s } = book();
    b.set(0, 'name', 'a');
    b.enter('other');
    await settle();
    s.out = true;
    b.paste(0, 'name', 'x\ny\nz\nw\nv');
    await settle();
    expect(b.counts().waits).toBe(5);
    b.takeBack();
    expect(b.rows[0]!.name).toBe('a');
    expect(b.counts()).toMatchObject({ kept: 1, waits: 0, blank: 3 });
  });

  it('tells a refusal of all rows at each, once', async () => {
    const { b, s } = book();
    s.refuse = new Refused(422, 'This foray is to come.');
    b.set(0, 'name', 'a');
    b.enter('other');
    await settle();
    expect(b.rows[0]!.fault?.says).toBe('This foray is to come.');
    await settle();
    expect(s.calls).toBe(1);
  });

  it('keeps a row with other cells only when it has a name', async () => {
    const { b, s } = book();
    b.set(0, 'host', 'Fagus');
    b.enter('other');
    await settle();
    expect(s.calls).toBe(0);
    expect(b.rows[0]!.fault?.column).toBe('name');
    b.clear(0);
    expect(b.standing(b.rows[0]!)).toBe('blank');
  });
});
