// What colour is being measured in one view: the marks, the answers, and what the
// server makes of them. Nothing here knows how it is drawn.
import { refusalOf } from '../api/call';
import { saveColour, tryColour, type ColourWay, type GivenColour, type ShownColour, type Treatment } from '../api/colour';
import { viewCard, type Pixel, type ShownCard, type ShownSize } from '../api/measure';
import type { ID, RecordSheet } from '../api/types';
import { uuidv7 } from '../uuidv7';
import { inside, pointWords, stepOf } from './calliper';
import { t } from '../words';

/** Brushes by their width on the fungus, in millimetres. */
export const BRUSHES = [
  { mm: 2, words: t('2 mm, for a stem or gills') },
  { mm: 5, words: '5 mm' },
  { mm: 12, words: t('12 mm, for a cap') },
] as const;

/** What can have been done to a place first. */
export const TREATMENTS: { treatment: Treatment; words: string }[] = [
  { treatment: '', words: t('Nothing: it is fresh') },
  { treatment: 'bruised', words: t('Cut, rubbed or bruised') },
  { treatment: 'dried', words: t('Dried') },
  { treatment: 'potash', words: 'A drop of potash (KOH)' },
  { treatment: 'iron salt', words: 'A drop of iron salt (FeSO₄)' },
  { treatment: 'ammonia', words: 'A drop of ammonia' },
];

/** The radius of a brush in pixels of the original. */
export const radiusOf = (mm: number, pxPerMm: number) => Math.min(600, Math.max(3, (mm / 2) * pxPerMm));

export class Colouring {
  card = $state.raw<ShownCard | null>(null);
  lost = $state('');
  way = $state<ColourWay>('tap');
  brush = $state<number>(5);
  points = $state.raw<Pixel[]>([]);
  size = $state<ID>('');
  character = $state('');
  treatment = $state<Treatment>('');
  before = $state<ID>('');
  colour = $state.raw<ShownColour | null>(null);
  refused = $state('');
  busy = $state('');
  spoken = $state('');
  /** The view is shown as its card corrects it. */
  corrected = $state(false);
  at = $state.raw<Pixel | null>(null);
  private was: Pixel[] = [];
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

  /** Where the loupe looks: at a tap, not along the brush. */
  get fine(): Pixel | null {
    return this.way === 'tap' ? this.at : null;
  }
  get radius(): number {
    return radiusOf(this.brush, this.card?.pxPerMm || 8);
  }
  get given(): GivenColour | null {
    if (this.at || this.points.length === 0 || (this.way === 'outline' && this.points.length < 3)) return null;
    return {
      view: this.view,
      way: this.way,
      points: this.points,
      ...(this.way === 'outline' ? {} : { radius: this.radius }),
      ...(this.way === 'outline' && this.size ? { size: this.size } : {}),
      ...(this.character ? { character: this.character } : {}),
      ...(this.treatment ? { treatment: this.treatment } : {}),
      ...(this.treatment && this.before ? { before: this.before } : {}),
    };
  }

  choose(way: ColourWay) {
    this.way = way;
    this.clear();
  }
  /** Takes the outline of a kept size. */
  take(s: ShownSize | undefined) {
    this.clear();
    if (!s) return;
    this.size = s.id;
    this.points = s.figures[0]?.points ?? [];
    this.spoken = t('The outline of {label} is taken.', { label: s.label });
  }
  clear() {
    this.points = [];
    this.size = '';
    this.colour = null;
    this.refused = '';
    this.id = uuidv7();
  }
  /** A mark in the middle: a start for the keyboard. */
  markMiddle() {
    const f = this.card?.frame;
    if (!f) return;
    this.clear();
    this.points = [{ x: Math.round(f.left + f.width / 2), y: Math.round(f.top + f.height / 2) }];
    this.spoken = t('Marked in the middle. Arrows move the mark.');
  }

  down(q: Pixel) {
    if (this.way === 'outline') return;
    this.was = this.points;
    this.at = q;
    this.points = [q];
  }
  move(q: Pixel) {
    if (!this.at) return;
    this.at = q;
    if (this.way === 'tap') this.points = [q];
    else if (this.points.length < 200) this.points = [...this.points, q];
  }
  cancel() {
    if (this.at) this.points = this.was;
    this.at = null;
  }
  up() {
    this.at = null;
  }
  /** An arrow key on the mark. True when it was one. */
  key(key: string, shift: boolean): boolean {
    const by = stepOf(key, shift);
    if (!by || !this.card || this.points.length === 0) return false;
    const frame = this.card.frame;
    this.points = this.points.map((p) => inside(frame, { x: p.x + by.x, y: p.y + by.y }));
    this.spoken = pointWords(t('Mark'), this.points[0]!);
    return true;
  }

  /** Measures what is given; the newest question alone is answered. */
  async measure(given: GivenColour | null, signal: AbortSignal) {
    const mine = ++this.asked;
    if (!given) {
      this.colour = null;
      return;
    }
    this.busy = t('Reading the colour.');
    try {
      const got = await tryColour(given, signal);
      if (mine !== this.asked) return;
      this.colour = got;
      this.refused = '';
    } catch (thrown) {
      if (signal.aborted || mine !== this.asked) return;
      this.colour = null;
      this.refused = refusalOf(thrown).says;
    }
    this.busy = '';
  }
  async save(): Promise<RecordSheet | null> {
    const given = this.given;
    if (!given || this.busy || !this.colour?.known) return null;
    this.busy = t('Keeping it.');
    let sheet: RecordSheet | null = null;
    try {
      sheet = await saveColour(this.id, given);
      this.clear();
      this.spoken = t('The colour is kept.');
    } catch (thrown) {
      this.refused = refusalOf(thrown).says;
    }
    this.busy = '';
    return sheet;
  }
}
