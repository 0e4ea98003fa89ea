// The form of a foray or visit: what is typed, and what it makes.
import type { LonLat, ShownForay } from '../api/desk';
import type { ID, ShownMe } from '../api/types';
import { linesOf, wholeOf } from './list';

/** What stands in the form. */
export interface ForayForm {
  kind: 'foray' | 'visit';
  code: string;
  name: string;
  /** Code of the site. */
  site: string;
  date: string;
  start: string;
  end: string;
  /** It ends on a later day. */
  past: boolean;
  endDate: string;
  leader: ID;
  by: ID;
  people: string;
  weather: string;
  note: string;
  targets: string;
  notFound: string;
  scope: string;
  whole: boolean;
  rings: LonLat[][];
}

/** A new foray's form; a leader leads it themselves. */
export function blankForay(code: string, date: string, me: ShownMe | null): ForayForm {
  return {
    kind: 'foray', code, name: '', site: '', date, start: '', end: '', past: false, endDate: '', leader: me?.roles.includes('leader') ? me.id : '', by: '',
    people: '', weather: '', note: '', targets: '', notFound: '', scope: '', whole: false, rings: [],
  };
}

/** The form of a foray that is there. */
export function formOfForay(y: ShownForay): ForayForm {
  return {
    kind: y.visit ? 'visit' : 'foray', code: y.code, name: y.name, site: y.site, date: y.date, start: y.start ?? '', end: y.end ?? '',
    past: !!y.endDate && y.endDate !== y.date, endDate: y.endDate ?? '', leader: y.leader ?? '', by: y.by ?? '', people: y.people ? `${y.people}` : '',
    weather: y.weather ?? '', note: y.note ?? '', targets: y.targets.join('\n'), notFound: y.notFound.join('\n'), scope: y.scope.join('\n'),
    whole: y.wholeScope ?? false, rings: y.route.length > 0 ? [y.route] : [],
  };
}

/** The day after: "2026-10-24" → "2026-10-25"; blank for what is no day. */
export function dayAfter(date: string): string {
  const read = new Date(`${date}T12:00:00Z`);
  if (Number.isNaN(read.getTime())) return '';
  read.setUTCDate(read.getUTCDate() + 1);
  return read.toISOString().slice(0, 10);
}

/** What in the form can't be read, by field. */
export function forayFaults(f: ForayForm): Record<string, string> {
  const faults: Record<string, string> = {};
  if (!f.site) faults.site = 'Say which site it goes to; a new one is made under Sites.';
  if (!f.date) faults.date = 'Give the day.';
  if (f.people.trim() !== '' && wholeOf(f.people) === 0) {
    faults.people = '0 people can’t have looked: count all who went, the leader too. Leave it blank where nobody counted; where nobody went, say so under How it went.';
  } else if (Number.isNaN(wholeOf(f.people))) faults.people = `“${f.people}” is no number of people: count those who came, or leave it blank.`;
  if (f.kind === 'visit' && !f.by) faults.by = 'Say who made the visit; one of a household is enough.';
  return faults;
}

/** The foray that the form makes, on top of the newest that is there. */
export function forayOf(id: ID, f: ForayForm, newest: ShownForay | null): ShownForay {
  const visit = f.kind === 'visit';
  return {
    id, code: f.code.trim(), name: f.name.trim(), site: f.site, date: f.date, start: f.start, end: f.end,
    endDate: f.past ? f.endDate || dayAfter(f.date) : '', visit, by: visit ? f.by : '', leader: visit ? '' : f.leader,
    ...(f.people.trim() === '' ? {} : { people: wholeOf(f.people) }), weather: f.weather.trim(), note: f.note.trim(), targets: linesOf(f.targets), notFound: linesOf(f.notFound),
    scope: linesOf(f.scope), wholeScope: f.whole && linesOf(f.scope).length > 0, route: f.rings[0] ?? [], signedUp: newest?.signedUp ?? [],
    siteName: newest?.siteName ?? '', records: newest?.records ?? 0, notes: newest?.notes ?? [],
  };
}

/** What of the foray is published, sentence by sentence. */
export function published(f: Pick<ForayForm, 'scope' | 'whole' | 'notFound'>): string[] {
  const scope = linesOf(f.scope);
  const missed = linesOf(f.notFound).length;
  if (scope.length === 0) {
    return [
      'Published: what was found, how long people looked and how many they were.',
      missed > 0
        ? 'What was looked for and not found stays inside the season, because no scope is stated.'
        : 'Of what was not found nothing is published, because no scope is stated.',
    ];
  }
  return [
    'Published: what was found, how long people looked and how many they were, and that they looked for these groups.',
    missed > 0
      ? 'What was looked for and not found is published as absent there on that day; protected kinds, and what was found after all, are left out.'
      : 'Name below what was looked for and not found, and it is published as absent there on that day.',
    f.whole
      ? 'It is also said that every kind of these groups that was seen is reported. Whoever reads the data may take a kind that is not listed as not seen.'
      : 'It is also said that not every kind of these groups that was seen is reported. Nobody can take a kind that is not listed as not seen.',
  ];
}

/** When it is, in words: "09:30 to 12:30", "from 21:00", "21:00 to 01:30 on the next day". */
export function clockWords(y: Pick<ShownForay, 'start' | 'end' | 'date' | 'endDate'>): string {
  if (!y.start) return y.end ? `until ${y.end}` : '';
  if (!y.end) return `from ${y.start}`;
  const later = y.endDate && y.endDate !== y.date;
  return `${y.start} to ${y.end}${later ? (y.endDate === dayAfter(y.date) ? ' on the next day' : ` on ${y.endDate}`) : ''}`;
}
