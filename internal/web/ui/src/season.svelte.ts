/** The season as the visitor may know it, read once and shared by all pages. */
import { get, post, refusalOf, type Refused } from './api/call';
import type { Choice, Choices, ShownMe, ShownSeason } from './api/types';
import { daySince, takeAlong } from './field/along';
import { comeBack, exchange, meOf, settle } from './field/code';
import { word } from './words/said';
import { dropTaking, held, keepPublic, keptCode, type Held, type KeptCode } from './field/keep';

/** How long the server may take to answer before the page goes on without it, in milliseconds: our own judgement. */
const patience = 1500;

/** atDesk says that a page for desks is open: the season is taken along by who opens the pages for phones. */
const atDesk = (): boolean => /^\/(desk|table|book|squares|deposits|setup)(\/|$)/.test(globalThis.location?.pathname ?? '');

type Here = [Held | null, KeptCode | null];
const here = (): Promise<Here> => Promise.all([held(), keptCode()]);
// The first reading begins with the app, beside the question to the server: opening the store takes a slow phone long.
let early = 'indexedDB' in globalThis ? here() : null;

class Season {
  /** The season, or null while it is being read or there is none. */
  now: ShownSeason | null = $state.raw(null);
  /** Why there is none. */
  fault: Refused | null = $state.raw(null);
  read = $state(false);
  /** Set while the server is out of reach and the season is as it was taken along. */
  away = $state(false);
  /** Set when somebody wanted to leave out of reach: every page tells that they are still in. */
  unleft = $state(false);
  /** A field code that was taken out of reach and waits; null when none does. */
  code: KeptCode | null = $state.raw(null);

  /** Who has come in; null for an outsider. */
  get me(): ShownMe | null {
    return this.now?.me ?? null;
  }

  /** may tells whether the visitor may open a place of the app. */
  may(place: string): boolean {
    return this.me?.places.includes(place) ?? false;
  }

  /**
   * load reads the season, again after coming in, setting up or leaving. Where
   * the server does not answer soon, the page goes on with what was taken
   * along: a phone with one bar of signal may wait for a minute.
   */
  async load(): Promise<void> {
    const kept = early ?? here();
    early = null;
    const slow = setTimeout(() => void this.goOnAway(kept), patience);
    const turn = ++this.turn;
    this.latest = this.ask(turn, kept);
    // Whoever asked before somebody asked again goes by the later answer too.
    for (let on; on !== this.latest; ) await (on = this.latest);
    clearTimeout(slow);
    this.read = true;
  }
  private turn = 0;
  private latest: Promise<void> | undefined;

  /** leave ends the way in on this device; false where the server is out of reach: then whoever is in stays in. */
  async leave(): Promise<boolean> {
    this.unleft = false;
    await dropTaking();
    const left = await post('/leave').then(() => true, (thrown: unknown) => !refusalOf(thrown).outOfReach);
    await this.load();
    this.unleft = !left;
    return left;
  }

  private along = false;

  /** takeAlong has this device keep what its holder may know of the season, once for each time that it was read. */
  takeAlong(): void {
    if (this.along || this.away || !this.now?.me) return;
    this.along = true;
    const person = this.now.me.id;
    void takeAlong(person, () => this.me?.id === person);
  }

  /** takeAnew takes along once more what changed, as after a record was kept or sent. */
  takeAnew(): void {
    this.along = false;
    if (!atDesk()) this.takeAlong();
  }

  /** goOnAway shows the season as it was taken along, until the server has answered. */
  private async goOnAway(kept: Promise<Here>): Promise<void> {
    if (this.now) return;
    const [along, code] = await kept;
    if (!along || this.now || this.read) return;
    this.goBy(along, code);
    this.away = true;
    this.read = true;
  }

  private async ask(turn: number, kept: Promise<Here>): Promise<void> {
    let answered = false;
    try {
      let now = await get<ShownSeason>('/season', { tries: 1 });
      answered = true; // what is kept here may change from now on
      const code = await keptCode();
      // A code that was taken out of reach is exchanged once, and anew only when somebody asks for it.
      if (code && code.says === '' && code.season === now.code && !now.me && (await exchange(code))) now = await get<ShownSeason>('/season', { tries: 1 });
      if (await comeBack(now.me != null)) now = await get<ShownSeason>('/season', { tries: 1 });
      // Whoever came in under another name says so themselves: a family may share the phone.
      if (code && now.me?.name === code.name && code.season === now.code) await settle(code, now.me).catch(() => undefined);
      const waits = await keptCode();
      if (turn !== this.turn) return; // asked again meanwhile, as after coming in or leaving
      this.now = inWords(now);
      this.code = waits;
      this.fault = null;
      this.away = false;
      this.along = false;
      if (!now.me) void keepPublic(now);
      else if (!atDesk()) this.takeAlong();
    } catch (thrown) {
      const fault = refusalOf(thrown);
      const [along, code]: Here = fault.outOfReach ? await (answered ? here() : kept) : [null, null];
      if (turn !== this.turn) return;
      this.fault = fault;
      if (along) this.goBy(along, code);
      else this.now = null;
      this.away = along !== null;
    }
  }

  /** goBy goes by the season as it was taken along; who took a code out of reach is in under their name. */
  private goBy(along: Held, code: KeptCode | null): void {
    this.code = code;
    const now = seasonOf(along);
    this.now = inWords(!now.me && this.code?.season === now.code ? { ...now, me: meOf(this.code) } : now);
  }
}

/** inWords says what is offered for answers in the language that is spoken; what is kept on the phone stays English. */
function inWords(s: ShownSeason): ShownSeason {
  const choices = Object.fromEntries(Object.entries(s.choices).map(([name, list]) => [name, list.map((c: Choice) => ({ ...c, label: word(c.label), says: word(c.says) }))]));
  return { ...s, choices: choices as unknown as Choices };
}

/** seasonOf is the season as it was taken along, with the day that it is now. */
function seasonOf(along: Held): ShownSeason {
  const season = along.season.season;
  return { ...season, today: daySince(season.today, season.zone, new Date(along.at), new Date(), along.midnights) };
}

export const season = new Season();
