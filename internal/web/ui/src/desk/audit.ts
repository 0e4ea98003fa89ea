// What an address asks of the audit, and where a line leads.
import type { AuditList, AuditThing } from '../api/audit';

export interface AuditAsked {
  what: AuditList;
  act: string;
  person: string;
  thing: string;
  from: string;
  until: string;
}

export const LISTS: readonly { what: AuditList; words: string; none: string }[] = [
  { what: 'looks', words: 'Places seen', none: 'Nobody has been given a protected or private place.' },
  { what: 'changes', words: 'Changes', none: 'Nothing was changed.' },
  { what: 'entries', words: 'Signing in', none: 'Nobody has come in.' },
  { what: 'guesses', words: 'Tried in vain', none: 'Nobody has tried a wrong code, phrase or password in the last thirty days.' },
];

/** readAudit reads a question from an address. */
export function readAudit(query: URLSearchParams): AuditAsked {
  const what = LISTS.find((l) => l.what === query.get('what'))?.what ?? 'looks';
  const text = (k: string) => query.get(k) ?? '';
  return { what, act: text('act'), person: text('person'), thing: text('thing'), from: text('from'), until: text('until') };
}

/** writeAudit writes a question for an address, without what says nothing. */
export function writeAudit(asked: AuditAsked, before = ''): string {
  const q = new URLSearchParams();
  for (const [k, v] of Object.entries({ ...asked, before })) if (v !== '') q.set(k, v);
  return q.toString();
}

/** narrowed tells whether a question leaves lines out. */
export const narrowed = (a: AuditAsked): boolean => [a.act, a.person, a.thing, a.from, a.until].some((v) => v !== '');

/** leadsTo is the address of the page on which a thing can be looked at; '' where there is none. */
export function leadsTo(thing: AuditThing | undefined): string {
  if (!thing) return '';
  const id = encodeURIComponent(thing.id);
  switch (thing.kind) {
    case 'record':
      return `/record/${id}`;
    case 'site':
      return `/desk/sites/${id}`;
    case 'foray':
      return `/desk/forays/${id}`;
    case 'person':
      return `/desk/people/${id}`;
    case 'name':
      return '/desk/names';
    case 'deposit':
      return '/deposits';
    case 'season':
      return '/desk';
    default:
      return '';
  }
}
