// What is being measured in one view: the points, the answers, and what the
// server reckons of them. Nothing here knows how it is drawn.
import { refusalOf } from '../api/call';
import { proposeOutline, saveSize, snapPoint, trySize, viewCard, type GivenSize, type MeasurementKind, type Pixel, type ShownCard, type ShownSize } from '../api/measure';
import type { ID, RecordSheet } from '../api/types';
import { uuidv7 } from '../uuidv7';
import { gridStep, heightOf, inside, pointWords, spanOf, stepOf, type Height } from './calliper';
import { leastOf, outlined, start, togetherTold, type Placed } from './placed';
import { Placing } from './placing.svelte';
import { t } from '../words';

export class Measuring extends Placing {
  /** Why the card could not be asked for. */
  lost = $state('');
  grid = $state(false);
  snaps = $state(true);
  height = $state<Height>('');
  from = $state<number | null>(null);
  to = $state<number | null>(null);
  character = $state('');
  size = $state.raw<ShownSize | null>(null);
  busy = $state('');
  /** Where the finger is. */
  at = $state.raw<Pixel | null>(null);
  private readonly laidAside = new Map<MeasurementKind, { others: Placed[]; now: Placed }>();
  /** The point in hand, by its index; -1 for none. */
  private held = $state(-1);
  /** How far it lies from the finger that caught it. */
  private grip: Pixel = { x: 0, y: 0 };
  private asked = 0;
  readonly view: ID;

  constructor(view: ID) {
    super();
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

  /** How many millimetres the lines of the grid lie apart. */
  get gridMm() {
    return gridStep((this.card?.pxPerMm ?? 0) * this.shown);
  }
  get span() {
    return spanOf(this.height, this.from, this.to);
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
    this.steps = [];
    if (aside.others.length + aside.now.points.length > 0) this.laidAside.set(was, aside);
    if (again) {
      this.others = again.others;
      this.now = again.now;
      this.changed = true;
    }
  }
  /** Takes a kept size in hand again, with the points and answers it was made of. */
  open(s: ShownSize) {
    this.clear();
    this.steps = [];
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

  override clear() {
    super.clear();
    this.laidAside.delete(outlined(this.tool) ? 'outline' : this.tool);
    this.size = null;
  }
  override undo() {
    if (!this.at) super.undo();
  }

  /** Where the loupe looks: at a point that is placed, not along a stroke. */
  get fine(): Pixel | null {
    return this.at ? (this.now.points[this.held] ?? null) : null;
  }
  /** A finger comes down; near is how far a handle is caught, in pixels of the original. */
  down(q: Pixel, near: number) {
    this.remember();
    this.at = q;
    this.held = this.chosen = this.caught(q, near);
    this.seeded = false;
    this.stroke = this.held < 0 ? [q] : [];
    const p = this.now.points[this.held];
    if (!p) return;
    this.grip = { x: p.x - q.x, y: p.y - q.y };
    // The far end of a length comes to the finger.
    if (Math.hypot(this.grip.x, this.grip.y) > near) {
      this.grip = { x: 0, y: 0 };
      this.put(this.held, q);
    }
  }
  move(q: Pixel) {
    if (!this.at) return;
    this.at = q;
    if (this.held >= 0) this.put(this.held, { x: q.x + this.grip.x, y: q.y + this.grip.y });
    else if (this.stroke.length < 200) this.stroke = [...this.stroke, q];
  }
  /** A second finger: it was no tap. */
  cancel() {
    if (this.at) {
      this.now = this.steps.at(-1)?.now ?? this.now;
      this.forget();
    }
    this.stroke = [];
    this.at = null;
    this.held = this.chosen = -1;
  }
  async up() {
    if (!this.at) return;
    const held = this.held;
    this.at = null;
    this.held = -1;
    if (held < 0) await this.propose();
    else if (this.now === this.steps.at(-1)?.now) this.forget(); // touched, not moved
    else if (this.tool === 'length' && this.snaps) await this.snapPlaced(held);
    else this.tell(this.handles.indexOf(held));
  }
  /** The other end could not be moved to its edge before there were two. */
  private async snapPlaced(held: number) {
    const [first, second] = this.now.points;
    if (first && second && this.steps.at(-1)?.now.points.length === 1) await this.snap(1 - held);
    await this.snap(held);
  }
  /** A key on a handle. True when it did something. */
  key(handle: number, key: string, shift: boolean): boolean {
    const at = this.handles[handle] ?? -1;
    const p = this.now.points[at];
    if (!p) return false;
    if (key === 'Delete' || key === 'Backspace') {
      this.takeAway(handle);
      return true;
    }
    if (this.tool === 'length' && this.snaps && key === 'Enter') {
      this.remember();
      void this.snap(handle);
      return true;
    }
    const by = stepOf(key, shift, this.step);
    if (!by) return false;
    this.remember(`key ${at}`);
    this.chosen = at;
    this.put(at, { x: p.x + by.x, y: p.y + by.y });
    this.tell(this.handles.indexOf(at));
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
    this.spoken = pointWords(t('The cross'), this.stroke[0]!);
    return Promise.resolve();
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
    if (this.now.points.length > 1) this.remember();
    await this.snap(0);
    await this.snap(1);
  }

  private propose() {
    // The finger that drew the stroke was remembered when it came down.
    return this.proposed(this.stroke, [], !this.seeded);
  }
  /** Asks for the outline once more, led through the points that were moved by hand. */
  async again() {
    await this.proposed(this.now.stroke, this.now.rim.map((i) => this.now.points[i]!));
  }
  private async proposed(stroke: Pixel[], rim: Pixel[], drawn = false) {
    if (stroke.length === 0 || this.busy) return;
    this.busy = t('Looking for the edge.');
    this.refused = this.spoken = '';
    try {
      const got = await proposeOutline(this.view, { stroke, ...(rim.length > 0 ? { rim } : {}) });
      if (got.found) {
        if (!drawn) this.remember();
        this.now = { points: got.points, placing: got.points.map(() => got.placing), stroke, rim: [] };
        this.changed = true;
        this.spoken = got.says;
        this.seeded = false;
      } else this.refused = got.says;
    } catch (thrown) {
      this.refused = refusalOf(thrown).says;
    }
    if (this.refused && drawn) this.forget();
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
    this.busy = t('Keeping it.');
    let sheet: RecordSheet | null = null;
    try {
      sheet = await saveSize(this.id, given);
      this.clear();
      this.steps = [];
      this.spoken = t('The size is kept.');
    } catch (thrown) {
      this.refused = refusalOf(thrown).says;
    }
    this.busy = '';
    return sheet;
  }
}
