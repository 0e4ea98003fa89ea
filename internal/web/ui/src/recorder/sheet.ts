/** What stands on a record's sheet beside its views. */
import type { ShownRequest } from '../api/requests';
import type { RecordSheet, ShownView, ViewKind } from '../api/types';
import { distanceWords } from '../parts/map';
import { orderOf } from '../parts/words';
import { inline, t } from '../words';

/** A plate of the sheet: a view, or the outline of one that is missing. */
export interface Plate {
  key: string;
  kind: ViewKind;
  view: ShownView | null;
  /** Why a view that is there is not shown. */
  withheld?: string;
}

const four = new Set<ViewKind>(['top', 'side', 'underneath', 'surroundings']);

/**
 * platesOf lays the views in their fixed order: the four asked of every find
 * large, the others small. What lacks is an outline; of the others only those
 * that were asked for, since an outline asks, and not every site lets people
 * cut, dig or print.
 */
export function platesOf(sheet: Pick<RecordSheet, 'views' | 'misses' | 'withheld'> & { asked: Pick<ShownRequest, 'view'>[] }): { large: Plate[]; small: Plate[] } {
  const all: Plate[] = sheet.views.map((view) => ({ key: view.id, kind: view.kind, view }));
  for (const [n, { kind, says }] of (sheet.withheld ?? []).entries()) all.push({ key: `withheld ${n}`, kind, view: null, withheld: says });
  for (const kind of sheet.misses) all.push({ key: kind, kind, view: null });
  for (const { view: kind } of sheet.asked) {
    if (kind && !all.some((p) => p.kind === kind)) all.push({ key: kind, kind, view: null });
  }
  all.sort((a, b) => orderOf(a.kind) - orderOf(b.kind));
  return { large: all.filter((p) => four.has(p.kind)), small: all.filter((p) => !four.has(p.kind)) };
}

function small(text: string | undefined): string {
  return text ? inline(text.charAt(0)) + text.slice(1) : '';
}

/** labelLines are the lines of the collecting label. */
export function labelLines(s: RecordSheet): [string, string][] {
  const place = [s.place.square ?? '', s.place.uncertainty ? t('to {uncertainty}', { uncertainty: distanceWords(s.place.uncertainty) }) : ''].filter((x) => x !== '').join(', ');
  // The answers bear a capital of their own; in a list only a genus keeps it.
  const on = [small(s.substrate), s.host ?? '', small(s.habit), small(s.ripeness)].filter((x) => x !== '').join('; ');
  const named = s.fieldName ? (s.namedBy ? t('{fieldName}, by {namedBy}', { fieldName: s.fieldName, namedBy: s.namedBy }) : s.fieldName) : '';
  return [
    [t('field name'), named],
    [t('place'), s.place.words],
    [t('square'), place],
    [t('foray'), s.foray ?? ''],
    [t('grows on'), on],
    [t('recorder'), s.recorder],
    [t('specimen'), s.voucher ? s.voucher : t('none kept')],
  ];
}

/** inWords describes the find by what was answered, a sentence each; '' when nothing was. */
export function inWords(s: RecordSheet): string {
  const sentence = (text: string | undefined) => (text ? `${text.charAt(0).toUpperCase()}${text.slice(1)}.` : '');
  return [
    sentence(s.form),
    s.numberSeen ? t('{n, plural, one {One seen.} other {# seen.}}', { n: s.numberSeen }) : '',
    s.smell ? t('Smell: {smell}.', { smell: small(s.smell) }) : '',
    s.sporePrint ? t('Spore print: {sporePrint}.', { sporePrint: small(s.sporePrint) }) : '',
  ]
    .filter((x) => x !== '')
    .join(' ');
}
