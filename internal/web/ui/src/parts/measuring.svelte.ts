// What is being measured in one view: the points, the answers, and what the
// server reckons of them. Nothing here knows how it is drawn.
import { refusalOf } from '../api/call';
import { proposeOutline, saveSize, snapPoint, trySize, viewCard, type GivenSize, type Pixel, type ShownCard, type ShownSize } from '../api/measure';
import type { ID, RecordSheet } from '../api/types';
import { uuidv7 } from '../uuidv7';
import { handlesOf, inside, nearest, pointWords, pulled, spanOf, stepOf, type Height } from './calliper';

/** What is laid on: two ends, or an outline of which the greatest width or that across it is told. */
export type Tool = 'length' | 'outline' | 'across';

interface Placed {
  points: Pixel[];
  /** Standard uncertainty of each point in pixels, where an edge told it. */
  placing: number[];
}

const nothing = (): Placed => ({ points: [], placing: [] });

export class Measuring {
  card = $state.raw<ShownCard | null>(null);
  /** Why the card could not be asked for. */
  lost = $state('');
  tool = $state<Tool>('length');
  /** Fruitbodies that are done; the one in hand is `now`. */
  others = $state.raw<Placed[]>([]);
  now = $state.raw<Placed>(nothing());
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
  private held = -1;
  private was: Placed = nothing();
  private asked = 0;
  private id: ID = uuidv7();
  readonly view: ID;

  constructor(view: ID) {
    this.view = view;
  }

  async look(signal: AbortSignal) {
    try {
      this.card = await viewCard(this.view, signal);
    } catch (thrown) {
      if (!signal.aborted) this.lost = refusalOf(thrown).says;
    }
  }

  get handles(): number[] {
    return this.tool === 'length' ? this.now.points.map((_, i) => i) : handlesOf(this.now.points.length);
  }
  get span() {
    return spanOf(this.height, this.from, this.to);
  }
  /** What would be sent; null while something lacks. */
  get given(): GivenSize | null {
    const span = this.span;
    const least = this.tool === 'length' ? 2 : 3;
    const figures = [...this.others, this.now].filter((f) => f.points.length > 0);
    if (!span || figures.length === 0 || figures.some((f) => f.points.length < least)) return null;
    return {
      view: this.view,
      kind: this.tool,
      ...(this.character ? { character: this.character } : {}),
      figures: figures.map((f) => {
        // Told only when every point's edge told it: one placed by hand is worse.
        const told = f.placing.length > 0 && f.placing.every((u) => u > 0);
        return { points: f.points, ...(told ? { placing: Math.max(...f.placing) } : {}) };
      }),
      aboveFrom: span.from,
      aboveTo: span.to,
      ...(this.height === 'standing' ? { standing: true } : {}),
    };
  }

  choose(tool: Tool) {
    const outlines = tool !== 'length' && this.tool !== 'length';
    this.tool = tool;
    if (!outlines) this.clear();
  }
  clear() {
    this.others = [];
    this.now = nothing();
    this.stroke = [];
    this.size = null;
    this.refused = '';
    this.id = uuidv7();
  }
  another() {
    this.others = [...this.others, this.now];
    this.now = nothing();
    this.spoken = `Fruitbody ${this.others.length + 1}: place its points.`;
  }

  /** Lays the calliper, or a ring, in the middle: a start for the keyboard. */
  layInMiddle() {
    const f = this.card?.frame;
    if (!f) return;
    const c = { x: f.left + f.width / 2, y: f.top + f.height / 2 };
    const r = Math.min(f.width, f.height) / 6;
    const ring = (k: number) => ({ x: c.x + r * Math.cos((k * Math.PI) / 8), y: c.y + r * Math.sin((k * Math.PI) / 8) });
    const points = this.tool === 'length' ? [ring(8), ring(0)] : Array.from({ length: 16 }, (_, k) => ring(k));
    this.now = { points, placing: points.map(() => 0) };
    this.spoken = 'Laid in the middle. Tab goes from point to point, arrows move it.';
  }

  /** A finger comes down; near is how far a handle is caught, in pixels of the original. */
  down(q: Pixel, near: number) {
    this.was = this.now;
    this.at = q;
    const handles = this.handles;
    const places = handles.map((i) => this.now.points[i]!);
    const i = nearest(places, q);
    const close = i >= 0 && Math.hypot(places[i]!.x - q.x, places[i]!.y - q.y) <= near;
    if (this.tool !== 'length') {
      this.held = close ? i : -1;
      this.stroke = close ? [] : [q];
      return;
    }
    if (!close && this.now.points.length < 2) {
      this.now = { points: [...this.now.points, q], placing: [...this.now.placing, 0] };
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
  /** An arrow key on a handle. True when it was one. */
  key(handle: number, key: string, shift: boolean): boolean {
    const by = stepOf(key, shift);
    const p = this.now.points[this.handles[handle] ?? -1];
    if (!by || !p) return false;
    this.put(handle, { x: p.x + by.x, y: p.y + by.y });
    this.tell(handle);
    return true;
  }

  private put(handle: number, to: Pixel) {
    const handles = this.handles;
    const i = handles[handle];
    const p = i === undefined ? undefined : this.now.points[i];
    if (i === undefined || !p || !this.card) return;
    const q = inside(this.card.frame, to);
    if (this.tool === 'length') {
      this.now = { points: this.now.points.map((o, k) => (k === i ? q : o)), placing: this.now.placing.map((u, k) => (k === i ? 0 : u)) };
      return;
    }
    const frame = this.card.frame;
    const points = pulled(this.now.points, handles, handle, { x: q.x - p.x, y: q.y - p.y }).map((o) => inside(frame, o));
    this.now = { points, placing: this.now.placing };
  }
  nameOf(handle: number) {
    return this.tool === 'length' ? (handle === 0 ? 'First end' : 'Second end') : `Point ${handle + 1} of the outline`;
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
      if (got.found) this.now = { points: before.points.map((p, k) => (k === end ? got.at : p)), placing: before.placing.map((u, k) => (k === end ? got.placing : u)) };
      this.spoken = got.found ? `${pointWords(this.nameOf(end), got.at)} At the edge.` : `${pointWords(this.nameOf(end), at)} ${got.says}`;
    } catch (thrown) {
      if (this.now === before) this.spoken = refusalOf(thrown).says;
    }
  }
  async snapBoth() {
    await this.snap(0);
    await this.snap(1);
  }

  private async propose() {
    const stroke = this.stroke;
    if (stroke.length === 0 || this.busy) return;
    this.busy = 'Looking for the edge.';
    this.refused = '';
    try {
      const got = await proposeOutline(this.view, { stroke });
      if (this.stroke === stroke) {
        this.now = { points: got.points, placing: got.points.map(() => got.placing) };
        this.spoken = got.says;
      }
    } catch (thrown) {
      this.refused = refusalOf(thrown).says;
    }
    this.busy = '';
    if (this.stroke === stroke) this.stroke = [];
  }

  /** Reckons what is given; the newest question alone is answered. */
  async reckon(given: GivenSize | null, signal: AbortSignal) {
    const mine = ++this.asked;
    if (!given) {
      this.size = null;
      return;
    }
    try {
      const size = await trySize(given, signal);
      if (mine !== this.asked) return;
      this.size = size;
      this.refused = '';
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
