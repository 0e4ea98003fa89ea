/** The places of the app and their addresses. */

/** Page is what an address shows. */
export type Page =
  | 'front'
  | 'daybook'
  | 'new'
  | 'first'
  | 'sheet'
  | 'change'
  | 'table'
  | 'book'
  | 'squares'
  | 'deposits'
  | 'desk'
  | 'desk-sites'
  | 'desk-site'
  | 'desk-forays'
  | 'desk-foray'
  | 'desk-foray-table'
  | 'desk-foray-photographs'
  | 'desk-people'
  | 'desk-person'
  | 'desk-names'
  | 'desk-paper'
  | 'desk-cards'
  | 'desk-coming-in'
  | 'desk-marks'
  | 'desk-person-kept'
  | 'desk-requests'
  | 'desk-audit'
  | 'join'
  | 'sign-in'
  | 'invitation'
  | 'me'
  | 'kept'
  | 'setup'
  | 'eaten'
  | 'sites'
  | 'nowhere';

/** Route is an address that has been read. */
export interface Route {
  page: Page;
  /** Record, site, foray or person that the address names; "new" for one that is being added. */
  id: string;
  query: URLSearchParams;
  path: string;
}

const plain: Record<string, Page> = {
  '': 'front',
  daybook: 'daybook',
  new: 'new',
  first: 'first',
  table: 'table',
  book: 'book',
  squares: 'squares',
  deposits: 'deposits',
  desk: 'desk',
  setup: 'setup',
  join: 'join',
  'sign-in': 'sign-in',
  invitation: 'invitation',
  me: 'me',
  eaten: 'eaten',
  sites: 'sites',
};

/** The pages of the Season desk: /desk/sites lists, /desk/sites/ID shows one, and so on. */
const deskPages: Record<string, { list: Page; one?: Page; below?: Record<string, Page> }> = {
  sites: { list: 'desk-sites', one: 'desk-site' },
  forays: { list: 'desk-forays', one: 'desk-foray', below: { table: 'desk-foray-table', photographs: 'desk-foray-photographs' } },
  people: { list: 'desk-people', one: 'desk-person', below: { kept: 'desk-person-kept' } },
  names: { list: 'desk-names' },
  paper: { list: 'desk-paper' },
  cards: { list: 'desk-cards' },
  'coming-in': { list: 'desk-coming-in' },
  marks: { list: 'desk-marks' },
  requests: { list: 'desk-requests' },
  audit: { list: 'desk-audit' },
};

/** readRoute tells which page an address shows; 'nowhere' when none does. */
export function readRoute(address: URL): Route {
  const parts = address.pathname.split('/').filter((p) => p !== '');
  const route: Route = { page: 'nowhere', id: '', query: address.searchParams, path: address.pathname };
  if (parts.length <= 1) {
    const name = parts[0] ?? '';
    // Only names of its own: an address such as /constructor is no place.
    route.page = Object.hasOwn(plain, name) ? plain[name]! : 'nowhere';
  } else if (parts[0] === 'desk' && Object.hasOwn(deskPages, parts[1]!)) {
    const pages = deskPages[parts[1]!]!;
    const id = decoded(parts[2] ?? '');
    if (id === null) return route;
    route.id = id;
    if (parts.length === 2) route.page = pages.list;
    else if (parts.length === 3) route.page = pages.one ?? 'nowhere';
    else if (parts.length === 4 && pages.below && Object.hasOwn(pages.below, parts[3]!)) route.page = pages.below[parts[3]!]!;
  } else if (parts[0] === 'me' && parts[1] === 'kept' && parts.length <= 3) {
    // About oneself, or a child who comes along.
    const id = decoded(parts[2] ?? 'me');
    if (id === null) return route;
    route.id = id;
    route.page = 'kept';
  } else if (parts[0] === 'record' && parts[1] !== undefined) {
    const id = decoded(parts[1]);
    if (id === null) return route;
    route.id = id;
    if (parts.length === 2) route.page = 'sheet';
    else if (parts.length === 3 && parts[2] === 'change') route.page = 'change';
  }
  return route;
}

function decoded(part: string): string | null {
  try {
    return decodeURIComponent(part);
  } catch {
    return null;
  }
}

/** isOurs tells whether the app answers an address itself, without the server. */
export function isOurs(address: URL, here: URL): boolean {
  return address.origin === here.origin && !/^\/(api|enter|assets|fonts)(\/|$)/.test(address.pathname);
}
