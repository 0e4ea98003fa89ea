// The points that are laid on one view: placed, moved, added, taken away, and
// every step taken back. Nothing here knows how it is drawn, or asks the server.
import type { MeasurementKind, Pixel, ShownCard } from '../api/measure';
import type { ID } from '../api/types';
import { uuidv7 } from '../uuidv7';
import { handlesOf, inside, nearest, pointWords, pulled, roomFor } from './calliper';
import { beside, byHand, leastOf, outlined, start, withoutPoint, withPoint, type Placed } from './placed';
import { t } from '../words';

/** What a step is taken back to. */
interface Step {
  others: Placed[];
  now: Placed;
  opened: ID;
  id: ID;
}

/** How many steps can be taken back. */
const STEPS = 100;

export class Placing {
  card = $state.raw<ShownCard | null>(null);
  tool = $state<MeasurementKind>('length');
  /** Fruitbodies that are done; the one in hand is `now`. */
  others = $state.raw<Placed[]>([]);
  now = $state.raw<Placed>(start());
  /** A tap or a stroke in an outline's fruitbody, while it is made or set by keys. */
  stroke = $state.raw<Pixel[]>([]);
  /** Which point was last in hand, by its index; -1 for none. */
  chosen = $state(-1);
  refused = $state('');
  spoken = $state('');
  /** How many CSS pixels show a pixel of the original: said by the stage. */
  shown = $state(1);
  /** Whether something was placed or answered that is not kept. */
  changed = $state(false);
  /** The kept size that is open; its own once it is kept again. */
  opened = $state<ID>('');
  /** Whether the stroke is a cross that keys move. */
  protected seeded = false;
  protected steps = $state.raw<Step[]>([]);
  /** What keys went on with: one series of them is one step. */
  private series = '';
  protected id: ID = uuidv7();

  get outlines() {
    return outlined(this.tool);
  }
  get handles(): number[] {
    const n = this.now.points.length;
    return this.outlines ? handlesOf(n, roomFor(this.now.points, this.shown), this.now.rim) : this.now.points.map((_, i) => i);
  }
  /** Whether the fruitbody in hand has all the points that it needs. */
  get whole() {
    return this.now.points.length >= leastOf(this.tool);
  }
  /** Whether there is a step to take back. */
  get stepped() {
    return this.steps.length > 0;
  }

  /** Lays everything away. */
  clear() {
    this.others = [];
    this.now = start();
    this.stroke = [];
    this.refused = '';
    this.changed = false;
    this.opened = '';
    this.chosen = -1;
    this.spoken = '';
    this.id = uuidv7();
  }
  /** Clears all that is placed; a step that can be taken back. */
  anew() {
    this.remember();
    this.clear();
  }
  /** Keeps how things lie, to come back to. */
  protected remember(series = '') {
    if (series !== '' && series === this.series) return;
    this.series = series;
    this.steps = [...this.steps.slice(1 - STEPS), { others: this.others, now: this.now, opened: this.opened, id: this.id }];
  }
  /** Takes the last step back. */
  undo() {
    const was = this.steps.at(-1);
    if (!was) return;
    this.steps = this.steps.slice(0, -1);
    ({ others: this.others, now: this.now, opened: this.opened, id: this.id } = was);
    this.stroke = [];
    this.refused = this.series = '';
    this.chosen = -1;
    this.changed = true;
    this.spoken = t('The last step is taken back.');
  }
  /** Leaves the last step out: nothing came of it. */
  protected forget() {
    this.steps = this.steps.slice(0, -1);
  }
  another() {
    this.remember();
    this.chosen = -1;
    this.others = [...this.others, this.now];
    this.now = start();
    this.spoken = t('Fruitbody {n}: place its points.', { n: this.others.length + 1 });
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
      this.spoken = t('A cross is laid in the middle: move it into the fruitbody by arrows, then press Enter for its outline.');
      return;
    }
    this.remember();
    const points = this.tool === 'curve' ? [-r, 0, r].map((d) => ({ x: c.x + d, y: c.y })) : [-r, r].map((d) => ({ x: c.x + d, y: c.y }));
    this.now = { ...start(), points, placing: points.map(() => this.hand) };
    this.changed = true;
    this.spoken = t('Laid in the middle. Tab goes from point to point, arrows move it.');
  }
  /** Lays a ring round the cross, or in the middle, to be fitted by hand where no outline can be proposed. */
  layRing() {
    const f = this.card?.frame;
    if (!f) return;
    this.remember();
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
    this.remember();
    this.add(inside(this.card.frame, { x: 2 * b.x - a.x, y: 2 * b.y - a.y }));
    this.chosen = this.now.points.length - 1;
    this.tell(this.chosen);
  }
  /** Takes a point away: the one that was last in hand, or at a handle. */
  takeAway(handle = this.handles.indexOf(this.chosen)) {
    const at = this.handles[handle];
    const left = at === undefined ? null : withoutPoint(this.now, at, this.handles, this.outlines);
    if (!left) {
      this.spoken = t('No point can be taken away: too few would be left.');
      return;
    }
    this.remember();
    this.now = left;
    this.chosen = -1;
    this.changed = true;
    this.spoken = this.outlines ? t('The point is taken away: the line runs straight there.') : t('The point is taken away; {n} are left.', { n: left.points.length });
  }
  protected add(q: Pixel) {
    this.now = { ...this.now, points: [...this.now.points, q], placing: [...this.now.placing, this.hand] };
    this.changed = true;
  }

  /** Which point comes in hand: one that lies near, a new one on the line near by, or a new one at the end; -1 for none. */
  protected caught(q: Pixel, near: number): number {
    const points = this.now.points;
    const handles = this.handles;
    const i = handles[nearest(handles.map((h) => points[h]!), q)] ?? -1;
    const close = i >= 0 && Math.hypot(points[i]!.x - q.x, points[i]!.y - q.y) <= near;
    if (close) return i;
    const on = this.tool === 'length' ? null : beside(points, this.outlines, q);
    if (on && on.off <= near / 2) {
      this.now = withPoint(this.now, on.after, on.at, this.hand, this.outlines);
      return on.after + 1;
    }
    if (this.outlines) return -1;
    if (points.length >= (this.tool === 'curve' ? 200 : 2)) return i;
    this.add(q);
    return points.length;
  }
  protected get step() {
    return 2 / Math.max(this.shown, 0.01);
  }
  protected get hand() {
    return byHand(this.shown);
  }

  /** Moves a point, by its index, and what of an outline hangs on it. */
  protected put(i: number, to: Pixel) {
    const p = this.now.points[i];
    if (!p || !this.card) return;
    const frame = this.card.frame;
    const q = inside(frame, to);
    this.changed = true;
    if (!this.outlines) {
      this.now = { ...this.now, points: this.now.points.map((o, k) => (k === i ? q : o)), placing: this.now.placing.map((u, k) => (k === i ? this.hand : u)) };
      return;
    }
    const handles = this.handles;
    const points = pulled(this.now.points, handles, handles.indexOf(i), { x: q.x - p.x, y: q.y - p.y }).map((o) => inside(frame, o));
    const placing = this.now.placing.map((u, k) => (k === i ? Math.max(u, this.hand) : u));
    this.now = { ...this.now, points, placing, rim: [...new Set([...this.now.rim, i])] };
  }
  nameOf(handle: number) {
    if (this.outlines) return t('Point {n} of the outline', { n: handle + 1 });
    if (this.tool === 'curve') return t('Point {n} of the curve', { n: handle + 1 });
    return handle === 0 ? t('First end') : t('Second end');
  }
  protected tell(handle: number) {
    const p = this.now.points[this.handles[handle] ?? -1];
    if (p) this.spoken = pointWords(this.nameOf(handle), p);
  }
}
