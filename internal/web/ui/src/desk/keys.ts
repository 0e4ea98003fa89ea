// Single-letter keys of the table. They do nothing while somebody types, and
// can be switched off (WCAG 2.2, 2.1.4 Character Key Shortcuts).

/** What a key does on the table. */
export type Deed =
  'next' | 'back' | 'loupe' | 'scale' | 'flap' | 'keys' | 'name' | 'genus' | 'ask' | 'pass' | 'key' | 'character' | 'undo' | 'compare' | { view: number } | { qualifier: string };

/** A line of the list of keys. */
export interface KeyLine {
  keys: string[];
  does: string;
}

/** All keys, in the order in which the list shows them. */
export const KEY_LINES: KeyLine[] = [
  { keys: ['N'], does: 'next find' },
  { keys: ['B'], does: 'back to the find before' },
  { keys: ['1', '9'], does: 'a view large, in the order in which they lie' },
  { keys: ['L'], does: 'loupe over the views, on and off' },
  { keys: ['M'], does: 'views with a field card at one scale, on and off' },
  { keys: ['F'], does: 'lift the flap' },
  { keys: ['P'], does: 'put a name to it: to the name field' },
  { keys: ['Q'], does: 'no qualifier' },
  { keys: ['W'], does: 'cf.' },
  { keys: ['E'], does: 'aff.' },
  { keys: ['R'], does: 'agg.' },
  { keys: ['T'], does: 'sp.' },
  { keys: ['G'], does: 'leave at genus' },
  { keys: ['A'], does: 'ask for more' },
  { keys: ['H'], does: 'hand it on: pass to' },
  { keys: ['K'], does: 'lay the key beside it, put it away' },
  { keys: ['C'], does: 'at the key: any character first' },
  { keys: ['U'], does: 'at the key: undo the last answer' },
  { keys: ['V'], does: 'at the key: compare the two likeliest' },
  { keys: ['?'], does: 'this list' },
];

const DEEDS: Record<string, Deed> = {
  n: 'next',
  b: 'back',
  l: 'loupe',
  m: 'scale',
  f: 'flap',
  '?': 'keys',
  p: 'name',
  g: 'genus',
  a: 'ask',
  h: 'pass',
  k: 'key',
  c: 'character',
  u: 'undo',
  v: 'compare',
  q: { qualifier: '' },
  w: { qualifier: 'cf.' },
  e: { qualifier: 'aff.' },
  r: { qualifier: 'agg.' },
  t: { qualifier: 'sp.' },
};

/** The part of a keyboard event that matters here. */
export interface Pressed {
  key: string;
  ctrlKey: boolean;
  metaKey: boolean;
  altKey: boolean;
  isComposing?: boolean;
  repeat?: boolean;
}

/** What a pressed key does, or null when it does nothing here. */
export function deedOf(e: Pressed): Deed | null {
  if (e.ctrlKey || e.metaKey || e.altKey || e.isComposing) return null;
  if (/^[1-9]$/.test(e.key)) return { view: Number(e.key) - 1 };
  const deed = DEEDS[e.key.toLowerCase()] ?? null;
  // Held down, a key may leaf through the pile but not toggle things.
  return e.repeat && deed !== 'next' && deed !== 'back' ? null : deed;
}

const TYPED = new Set(['text', 'search', 'email', 'url', 'tel', 'password', 'number', 'date', 'time', 'month', 'week', 'datetime-local']);

/** Whether what is focused takes letters itself. */
export function takesLetters(el: { tagName: string; type?: string; isContentEditable?: boolean } | null): boolean {
  if (!el) return false;
  if (el.isContentEditable) return true;
  const tag = el.tagName.toLowerCase();
  if (tag === 'textarea' || tag === 'select') return true;
  return tag === 'input' && TYPED.has(el.type ?? 'text');
}

const OFF = 'trug.keys.off';

/** Whether single-letter keys are on; they are until somebody switches them off. */
export function keysOn(store: Pick<Storage, 'getItem'>): boolean {
  try {
    return store.getItem(OFF) !== '1';
  } catch {
    return true;
  }
}

/** Switches single-letter keys on or off, for this browser. */
export function switchKeys(store: Pick<Storage, 'setItem' | 'removeItem'>, on: boolean): void {
  try {
    if (on) store.removeItem(OFF);
    else store.setItem(OFF, '1');
  } catch {
    // A browser without storage keeps the choice until the page is left.
  }
}
