/** What can be put into a cell of the foray table without typing it out. */
import { get } from '../api/call';
import type { Choice, NameChoice, ShownDeterminer } from '../api/types';
import { plain } from './list';
import { QUALIFIERS, type Column, type Row } from './foray-rows';
import { firstMarked } from './slip';

/** An offer: what is put into the cell, and what is said beside it. */
export interface Offer {
  value: string;
  beside: string;
  /** A scientific name, set in italics. */
  name?: boolean;
}

const COUNT = 12;

/** Offers whose words begin as typed; all of them for nothing typed. */
export function beginning(typed: string, offers: Offer[]): Offer[] {
  const t = plain(typed.trim());
  if (t === '') return offers.slice(0, 40);
  const begins = (text: string) => plain(text).split(/[\s,(/-]+/).some((_, i, words) => words.slice(i).join(' ').startsWith(t.replace(/[\s,(/-]+/g, ' ')));
  const first = offers.filter((o) => plain(o.value).startsWith(t) || plain(o.beside).startsWith(t));
  return [...first, ...offers.filter((o) => !first.includes(o) && begins(o.value))].slice(0, COUNT);
}

/** Offers are the choices for the cell that the keyboard is in. */
export class Offers {
  list: Offer[] = $state.raw([]);
  marked = $state(-1);
  open = $state(false);
  /** Why no names are offered. */
  unread = $state('');

  private running: AbortController | undefined;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private read = new Map<string, NameChoice[]>();

  constructor(
    private readonly book: { rows: Row[]; writing: string },
    private readonly determiners: () => ShownDeterminer[],
    private readonly substrates: () => Choice[],
  ) {}

  /** typed looks what fits to a cell; `all` shows every choice, as Alt and the down arrow ask. */
  typed(column: Column, text: string, all = false): void {
    clearTimeout(this.timer);
    this.running?.abort();
    if (column === 'name') {
      const known = this.read.get(key(text));
      if (known) return this.names(text, known);
      this.shut();
      this.timer = setTimeout(() => void this.ask(text).then((got) => got && this.names(text, got)), 90);
      return;
    }
    if (!all && text.trim() === '') return this.shut();
    const offers = this.offersOf(column);
    const fits = beginning(all ? '' : text, offers);
    const exact = !all && offers.some((o) => plain(o.value) === plain(text.trim()) || (column === 'determiner' && plain(o.beside) === plain(text.trim())));
    this.show(exact ? [] : fits, all ? -1 : 0);
  }

  private offersOf(column: Column): Offer[] {
    switch (column) {
      case 'qualifier':
        return QUALIFIERS.map((q) => ({ value: q, beside: '' }));
      case 'substrate':
        return this.substrates().map((s) => ({ value: s.label, beside: '' }));
      case 'determiner': {
        const listed = this.determiners().map((d) => ({ value: d.name, beside: d.code ?? '' }));
        const others = this.used('determiner').filter((n) => !listed.some((d) => d.value === n || d.beside === n));
        return [...listed, ...others.map((n) => ({ value: n, beside: 'no determiner of the season' }))];
      }
      case 'host':
        return this.used('host').map((h) => ({ value: h, beside: '' }));
      default:
        return [];
    }
  }

  /** What stands in a column already, the latest first. */
  private used(column: Column): string[] {
    const out = new Set<string>();
    // Not of the row that is being typed: half a word is no choice.
    for (let i = this.book.rows.length - 1; i >= 0 && out.size < 200; i--) {
      const r = this.book.rows[i]!;
      if (r[column] !== '' && r.id !== this.book.writing) out.add(r[column].trim());
    }
    return [...out];
  }

  private show(list: Offer[], marked: number): void {
    this.list = list;
    this.open = list.length > 0;
    this.marked = this.open ? marked : -1;
  }

  private names(text: string, choices: NameChoice[]): void {
    this.show(
      choices.map((c) => ({ value: c.name, beside: c.accepted ? `now ${c.accepted}` : (c.family ?? c.rank), name: true })),
      firstMarked(text, choices),
    );
  }

  private async ask(text: string): Promise<NameChoice[] | null> {
    const starts = text.trim();
    if (starts.length < 2) return [];
    const known = this.read.get(key(text));
    if (known) return known;
    const mine = (this.running = new AbortController());
    try {
      const got = (await get<NameChoice[] | null>(`/names?starts=${encodeURIComponent(starts)}`, { signal: mine.signal, tries: 1 })) ?? [];
      if (this.read.size > 500) this.read.clear();
      this.read.set(key(text), got);
      this.unread = '';
      return mine.signal.aborted ? null : got;
    } catch {
      if (!mine.signal.aborted) this.unread = 'The checklist cannot be reached just now; names stand as typed.';
      return null;
    }
  }

  /**
   * later looks up a name that was left before the list had come, and returns
   * the one name of the checklist that it can only mean; '' when there is
   * none, or several.
   */
  async later(text: string): Promise<string> {
    if (text.trim().length < 2) return '';
    const own = new Offers(this.book, this.determiners, this.substrates);
    own.read = this.read;
    const got = await own.ask(text);
    return got?.length === 1 && got[0]!.name.toLowerCase() !== text.trim().toLowerCase() ? got[0]!.name : '';
  }

  /** awaited tells that the names for what was typed have not come yet. */
  awaited(text: string): boolean {
    return text.trim().length > 1 && !this.read.has(key(text));
  }

  move(step: 1 | -1): void {
    const n = this.list.length;
    this.marked = this.marked < 0 ? (step > 0 ? 0 : n - 1) : (this.marked + step + n) % n;
  }

  /** taken returns the marked value, or null when none is marked. */
  taken(): string | null {
    return this.open && this.marked >= 0 ? (this.list[this.marked]?.value ?? null) : null;
  }

  shut(): void {
    clearTimeout(this.timer);
    this.open = false;
    this.marked = -1;
  }
}

function key(text: string): string {
  return text.trim().toLowerCase().replace(/\s+/g, ' ');
}
