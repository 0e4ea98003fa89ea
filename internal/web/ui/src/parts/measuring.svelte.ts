// What is being measured in one view: the points, the answers, and what the
// server reckons of them. Nothing here knows how it is drawn.
import { refusalOf } from '../api/call';
import { proposeOutline, saveSize, snapPoint, trySize, viewCard, type GivenSize, type MeasurementKind, type Pixel, type ShownCard, type ShownSize } from '../api/measure';
import type { ID, RecordSheet } from '../api/types';
import { uuidv7 } from '../uuidv7';
import { handlesOf, heightOf, inside, nearest, pointWords, pulled, roomFor, spanOf, stepOf, type Height } from './calliper';
import { byHand, leastOf, outlined, start, togetherTold, type Placed } from './placed';

export class Measuring {
  card = $state.raw<ShownCard | null>(null);
  /** Why the card could not be asked for. */
  lost = $state('');
  tool = $state<MeasurementKind>('length');
  /** Fruitbodies that are done; the one in hand is `now`. */
  others = $state.raw<Placed[]>([]);
  now = $state.raw<Placed>(start());
  /** A tap or a stroke in an outline's fruitbody, while it is made or set by keys. */
  stroke = $state.raw<Pixel[]>([]);
  grid = $state(false);
  snaps = $state(true);
  height = $state<Height>('');
  from = $state<number | null>(null);
  to = $state<number | null>(null);
  character = $state('');
  size = $state.raw<ShownSize | null>(null);
  refused = $state('');
  busy = $state('');
  spoken = $state('');
  /** The point under the thumb: where the loupe looks. */
  at = $state.raw<Pixel | null>(null);
  /** How many CSS pixels show a pixel of the original: said by the stage. */
  shown = $state(1);
  /** Whether something was placed or answered that is not kept. */
  changed = $state(false);
  /** The kept size that is open; its own once it is kept again. */
  opened = $state<ID>('');
  private readonly laidAside = new Map<MeasurementKind, { others: Placed[]; now: Placed }>();
  /** Whether the stroke is a cross that keys move. */
  private seeded = false;
  private held = -1;
  private was: Placed = start();
  private asked = 0;
  private id: ID = uuidv7();
  readonly view: ID;

  constructor(view: ID) {
    this.view = view;
  }

  async look(signal: AbortSignal) {
    try {
      this.card = await viewCard(this.view, signal);
      this.lost = '';
    } catch (thrown) {
      if (!signal.aborted) this.lost = refusalOf(thrown).says;
    }
  }

  get outlines() {
    return outlined(this.tool);
  }
  get handles(): number[] {
    const n = this.now.points.length;
    return this.outlines ? handlesOf(n, roomFor(this.now.points, this.shown)) : this.now.points.map((_, i) => i);
  }
  get span() {
    return spanOf(this.height, this.from, this.to);
  }
  /** Whether the fruitbody in hand has all the points that it needs. */
  get whole() {
    return this.now.points.length >= leastOf(this.tool);
  }
  /** Whether closing would lose something. */
  get unsaved() {
    return this.changed && (this.others.length > 0 || this.now.points.length > 0);
  }
  /** What would be sent; null while something lacks. */
  get given(): GivenSize | null {
    const span = this.span;
    const figures = [...this.others, this.now].filter((f) => f.points.length > 0);
    if (!span || figures.length === 0 || figures.some((f) => f.points.length < leastOf(this.tool))) return null;
    return {
      view: this.view,
      kind: this.tool,
      ...(this.character ? { character: this.character } : {}),
      figures: figures.map(togetherTold),
      aboveFrom: span.from,
      aboveTo: span.to,
      ...(this.height === 'standing' ? { standing: true } : {}),
    };
  }

  choose(tool: MeasurementKind) {
    if (tool === this.tool) return;
    // Both read the same outline.
    const same = outlined(tool) && this.outlines;
    const aside = { others: this.others, now: this.now };
    const was = outlined(this.tool) ? 'outline' : this.tool;
    this.tool = tool;
    if (same) {
      this.changed = true;
      return;
    }
    // What was placed with the other tool is there again when one comes back to it.
    const again = this.laidAside.get(outlined(tool) ? 'outline' : tool);
    this.clear();
    if (aside.others.length + aside.now.points.length > 0) this.laidAside.set(was, aside);
    if (again) {
      this.others = again.others;
      this.now = again.now;
      this.changed = true;
    }
  }
  clear() {
    this.laidAside.delete(outlined(this.tool) ? 'outline' : this.tool);
    this.others = [];
    this.now = start();
    this.stroke = [];
    this.size = null;
    this.refused = '';
    this.changed = false;
    this.opened = '';
    this.id = uuidv7();
  }
  another() {
    this.others = [...this.others, this.now];
    this.now = start();
    this.spoken = `Fruitbody ${this.others.length + 1}: place its points.`;
  }
  /** Takes a kept size in hand again, with the points and answers it was made of. */
  open(s: ShownSize) {
    this.clear();
    const placed = s.figures.map((f) => ({ points: f.points, placing: f.points.map(() => f.placing ?? 0), stroke: [], rim: [] }));
    this.tool = s.kind;
    this.character = s.character;
    this.height = heightOf(s.aboveFrom, s.aboveTo);
    this.from = s.aboveFrom;
    this.to = s.aboveTo;
    this.others = placed.slice(0, -1);
    this.now = placed.at(-1) ?? start();
    this.id = s.id;
    this.opened = s.id;
    this.spoken = `${s.label} is open with the points it was read off.`;
  }

  /** Lays the points, or a place to tap, in the middle: a start for the keyboard. */
  layInMiddle() {
    const f = this.card?.frame;
    if (!f) return;
    const c = { x: f.left + f.width / 2, y: f.top + f.height / 2 };
    const r = Math.min(f.width, f.height) / 6;
    if (this.outlines) {
      this.stroke = [c];
      this.seeded = true;
      this.spoken = 'A cross is laid in the middle: move it into the fruitbody by arrows, then press Enter for its outline.';
      return;
    }
    const points = this.tool === 'curve' ? [-r, 0, r].map((d) => ({ x: c.x + d, y: c.y })) : [-r, r].map((d) => ({ x: c.x + d, y: c.y }));
    this.now = { ...start(), points, placing: points.map(() => this.hand) };
    this.changed = true;
    this.spoken = 'Laid in the middle. Tab goes from point to point, arrows move it.';
  }
  /** Lays a ring round the cross, or in the middle, to be fitted by hand where no outline can be proposed. */
  layRing() {
    const f = this.card?.frame;
    if (!f) return;
    const c = this.stroke[0] ?? { x: f.left + f.width / 2, y: f.top + f.height / 2 };
    const r = Math.min(f.width, f.height) / 6;
    const points = Array.from({ length: 16 }, (_, k) => inside(f, { x: c.x + r * Math.cos((k * Math.PI) / 8), y: c.y + r * Math.sin((k * Math.PI) / 8) }));
    this.now = { ...start(), points, placing: points.map(() => this.hand) };
    this.stroke = [];
    this.refused = '';
    this.changed = true;
    this.spoken = 'A ring is laid. Move its points onto the edge.';
  }
  /** Adds a point to a curve, as far on as the last two lie apart. */
  onward() {
    const [a, b] = this.now.points.slice(-2);
    if (!this.card || !a || !b) return;
    this.add(inside(this.card.frame, { x: 2 * b.x - a.x, y: 2 * b.y - a.y }));
    this.tell(this.now.points.length - 1);
  }
  /** Takes the last point of a curve away. */
  back() {
    this.now = { ...this.now, points: this.now.points.slice(0, -1), placing: this.now.placing.slice(0, -1) };
    this.changed = true;
    this.spoken = `${this.now.points.length} points are left.`;
  }
  private add(q: Pixel) {
    this.now = { ...this.now, points: [...this.now.points, q], placing: [...this.now.placing, this.hand] };
    this.changed = true;
  }

  /** A finger comes down; near is how far a handle is caught, in pixels of the original. */
  down(q: Pixel, near: number) {
    this.was = this.now;
    this.at = q;
    const places = this.handles.map((i) => this.now.points[i]!);
    const i = nearest(places, q);
    const close = i >= 0 && Math.hypot(places[i]!.x - q.x, places[i]!.y - q.y) <= near;
    if (this.outlines) {
      this.held = close ? i : -1;
      this.seeded = false;
      this.stroke = close ? [] : [q];
      return;
    }
    const room = this.tool === 'curve' ? 200 : 2;
    if (!close && this.now.points.length < room) {
      this.add(q);
      this.held = this.now.points.length - 1;
    } else {
      this.held = i;
      this.put(i, q);
    }
  }
  move(q: Pixel) {
    if (!this.at) return;
    this.at = q;
    if (this.held >= 0) this.put(this.held, q);
    else if (this.stroke.length < 200) this.stroke = [...this.stroke, q];
  }
  /** A second finger: it was no tap. */
  cancel() {
    if (this.at) this.now = this.was;
    this.stroke = [];
    this.at = null;
    this.held = -1;
  }
  async up() {
    if (!this.at) return;
    const held = this.held;
    this.at = null;
    this.held = -1;
    if (held < 0) await this.propose();
    else if (this.tool === 'length' && this.snaps) await this.snap(held);
    else this.tell(held);
  }
  /** A key on a handle. True when it did something. */
  key(handle: number, key: string, shift: boolean): boolean {
    const p = this.now.points[this.handles[handle] ?? -1];
    if (!p) return false;
    if (this.tool === 'length' && this.snaps && key === 'Enter') {
      void this.snap(handle);
      return true;
    }
    const by = stepOf(key, shift, this.step);
    if (!by) return false;
    this.put(handle, { x: p.x + by.x, y: p.y + by.y });
    this.tell(handle);
    return true;
  }
  /** A key on the cross that stands for a tap; null for keys that do nothing, else when it is done. */
  seedKey(key: string, shift: boolean): Promise<void> | null {
    const p = this.stroke[0];
    if (!p || !this.card) return null;
    if (key === 'Enter' || key === ' ') return this.propose();
    const by = stepOf(key, shift, this.step);
    if (!by) return null;
    this.stroke = [inside(this.card.frame, { x: p.x + by.x, y: p.y + by.y })];
    this.spoken = pointWords('The cross', this.stroke[0]!);
    return Promise.resolve();
  }
  private get step() {
    return 2 / Math.max(this.shown, 0.01);
  }
  private get hand() {
    return byHand(this.shown);
  }

  private put(handle: number, to: Pixel) {
    const handles = this.handles;
    const i = handles[handle];
    const p = i === undefined ? undefined : this.now.points[i];
    if (i === undefined || !p || !this.card) return;
    const q = inside(this.card.frame, to);
    this.changed = true;
    if (!this.outlines) {
      this.now = { ...this.now, points: this.now.points.map((o, k) => (k === i ? q : o)), placing: this.now.placing.map((u, k) => (k === i ? this.hand : u)) };
      return;
    }
    const frame = this.card.frame;
    const points = pulled(this.now.points, handles, handle, { x: q.x - p.x, y: q.y - p.y }).map((o) => inside(frame, o));
    const placing = this.now.placing.map((u, k) => (k === i ? Math.max(u, this.hand) : u));
    this.now = { ...this.now, points, placing, rim: [...new Set([...this.now.rim, i])] };
  }
  nameOf(handle: number) {
    if (this.outlines) return `Point ${handle + 1} of the outline`;
    if (this.tool === 'curve') return `Point ${handle + 1} of the curve`;
    return handle === 0 ? 'First end' : 'Second end';
  }
  private tell(handle: number) {
    const p = this.now.points[this.handles[handle] ?? -1];
    if (p) this.spoken = pointWords(this.nameOf(handle), p);
  }

  async snap(end: number) {
    const at = this.now.points[end];
    const other = this.now.points[1 - end];
    if (!at || !other || !this.card) return this.tell(end);
    const before = this.now;
    try {
      const within = Math.min(200, Math.max(6, 2 * this.card.pxPerMm));
      const got = await snapPoint(this.view, { at, other, within });
      if (this.now !== before) return; // moved on meanwhile
      if (got.found) this.now = { ...before, points: before.points.map((p, k) => (k === end ? got.at : p)), placing: before.placing.map((u, k) => (k === end ? got.placing : u)) };
      this.spoken = got.found ? `${pointWords(this.nameOf(end), got.at)} At the edge.` : `${pointWords(this.nameOf(end), at)} ${got.says}`;
    } catch (thrown) {
      if (this.now === before) this.spoken = refusalOf(thrown).says;
    }
  }
  async snapBoth() {
    await this.snap(0);
    await this.snap(1);
  }

  private propose() {
    return this.proposed(this.stroke, []);
  }
  /** Asks for the outline once more, led through the points that were moved by hand. */
  async again() {
    await this.proposed(this.now.stroke, this.now.rim.map((i) => this.now.points[i]!));
  }
  private async proposed(stroke: Pixel[], rim: Pixel[]) {
    if (stroke.length === 0 || this.busy) return;
    this.busy = 'Looking for the edge.';
    this.refused = '';
    try {
      const got = await proposeOutline(this.view, { stroke, ...(rim.length > 0 ? { rim } : {}) });
      if (got.found) {
        this.now = { points: got.points, placing: got.points.map(() => got.placing), stroke, rim: [] };
        this.changed = true;
        this.spoken = got.says;
        this.seeded = false;
      } else this.refused = got.says;
    } catch (thrown) {
      this.refused = refusalOf(thrown).says;
    }
    this.busy = '';
    // A cross that was set by keys stays, to be moved on.
    if (this.stroke === stroke && !this.seeded) this.stroke = [];
  }

  /** Reckons what is given; the newest question alone is answered. */
  async reckon(given: GivenSize | null, signal: AbortSignal) {
    const mine = ++this.asked;
    if (!given) {
      this.size = null;
      return;
    }
    try {
      const got = await trySize(given, signal);
      if (mine !== this.asked) return;
      this.size = got.size ?? null;
      this.refused = got.says;
    } catch (thrown) {
      if (signal.aborted || mine !== this.asked) return;
      this.size = null;
      this.refused = refusalOf(thrown).says;
    }
  }
  async save(): Promise<RecordSheet | null> {
    const given = this.given;
    if (!given || this.busy) return null;
    this.busy = 'Keeping it.';
    let sheet: RecordSheet | null = null;
    try {
      sheet = await saveSize(this.id, given);
      this.clear();
      this.spoken = 'The size is kept.';
    } catch (thrown) {
      this.refused = refusalOf(thrown).says;
    }
    this.busy = '';
    return sheet;
  }
}
