/**
 * What the screens of recorders say, in the language of whoever holds the phone. The English sentence is the key: it
 * stands where it is said, and the other languages have it as theirs. What has no translation is said in English.
 */
import { format, type Values } from './icu';
import { pseudo } from './pseudo';

/** Languages that are complete, by their tags and their own names. */
export const languages = [
  { tag: 'en', name: 'English' },
  { tag: 'de', name: 'Deutsch' },
  { tag: 'fr', name: 'Français' },
] as const;

export type Tag = (typeof languages)[number]['tag'];
/** Tags for tests: every sentence is told longer and with accents, the second also from right to left. */
type TestTag = 'en-XA' | 'en-XB';

type Catalogue = Readonly<Record<string, string>>;

const key = 'trug.language';

/** chosenIn tells which language to speak: the one that was chosen, else the first of the browser's that is there. */
export function chosenIn(kept: string | null, browser: readonly string[]): Tag | TestTag {
  if (kept === 'en-XA' || kept === 'en-XB') return kept;
  const known = (tag: string | null) => languages.find((l) => l.tag === tag?.toLowerCase().split('-')[0])?.tag;
  return known(kept) ?? browser.map(known).find((tag) => tag !== undefined) ?? 'en';
}

function kept(): string | null {
  try {
    return localStorage.getItem(key);
  } catch {
    return null; // no browser, or one that keeps nothing
  }
}

const spoken = chosenIn(kept(), typeof navigator === 'undefined' ? [] : (navigator.languages ?? []));

async function read(): Promise<Catalogue | null> {
  try {
    if (spoken === 'de') return (await import('./de')).default;
    if (spoken === 'fr') return (await import('./fr')).default;
  } catch {
    // Out of reach before it was ever fetched: then English.
  }
  return null;
}

// Whatever is imported after this has the language from its first line on.
const catalogue = await read();

/** language is the tag that is spoken: English where another's words could not be had. */
export const language: string = spoken === 'en-XA' || spoken === 'en-XB' || catalogue ? spoken : 'en';
/** locale is the tag by which dates, lists and numbers are written. */
export const locale = { en: 'en-GB', 'en-XA': 'el', 'en-XB': 'he' }[language] ?? language; // in tests by other letters: English days would be seen
/** toLeft is set where the language is written from right to left. */
export const toLeft = language === 'en-XB';

/**
 * dates writes days by what is named of them. The browser's tables of dates are fetched when the first is written: they
 * take a slow phone longer than the rest of its start.
 */
export function dates(options: Intl.DateTimeFormatOptions): (day: Date) => string {
  let made: Intl.DateTimeFormat | undefined;
  return (day) => (made ??= new Intl.DateTimeFormat(locale, { ...options, timeZone: 'UTC' })).format(day);
}

/** t says a sentence with its values. */
export function t(message: string, values?: Values): string {
  if (language === 'en-XA' || language === 'en-XB') return format(locale, pseudo(message), toLeft ? apart(values) : values);
  return format(locale, catalogue?.[message] ?? message, values);
}

/** apart keeps texts that are put in from turning what stands round them, where that is written from right to left. */
const apart = (values: Values | undefined): Values | undefined =>
  values && Object.fromEntries(Object.entries(values).map(([name, v]) => [name, typeof v === 'string' ? `\u2068${v}\u2069` : v]));

/** m marks a sentence that is said elsewhere by t. */
export const m = (message: string): string => message;

/** Words that German begins its answers with and that are no nouns; all others keep their capital. */
const small = /^(?:[A-ZÄÖÜ][a-zäöüß-]*(?= [A-ZÄÖÜ])|Allein|Alt|Einzeln|Jung|Nicht|Noch|Reif|Überständig|Verstreut|Voll|Weiß ich)/;

/** inline sets a title amid a sentence: its first letter small, but for German nouns, which keep their capitals. */
export function inline(title: string): string {
  if (language === 'de' && !small.test(title)) return title;
  return title.charAt(0).toLocaleLowerCase() + title.slice(1);
}

/** choose keeps a language on this device and begins anew in it; what was entered is kept as a draft. */
export function choose(tag: Tag): void {
  try {
    localStorage.setItem(key, tag);
  } catch {
    // It is asked for again the next time.
  }
  location.reload();
}
