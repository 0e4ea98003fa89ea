/** The places of the app and their addresses. */

/** Page is what an address shows. */
export type Page =
  | 'front'
  | 'daybook'
  | 'new'
  | 'sheet'
  | 'change'
  | 'table'
  | 'book'
  | 'squares'
  | 'deposits'
  | 'desk'
  | 'setup'
  | 'nowhere';

/** Route is an address that has been read. */
export interface Route {
  page: Page;
  /** Record that the address names. */
  id: string;
  query: URLSearchParams;
  path: string;
}

const plain: Record<string, Page> = {
  '': 'front',
  daybook: 'daybook',
  new: 'new',
  table: 'table',
  book: 'book',
  squares: 'squares',
  deposits: 'deposits',
  desk: 'desk',
  setup: 'setup',
};

/** readRoute tells which page an address shows; 'nowhere' when none does. */
export function readRoute(address: URL): Route {
  const parts = address.pathname.split('/').filter((p) => p !== '');
  const route: Route = { page: 'nowhere', id: '', query: address.searchParams, path: address.pathname };
  if (parts.length <= 1) {
    const name = parts[0] ?? '';
    // Only names of its own: an address such as /constructor is no place.
    route.page = Object.hasOwn(plain, name) ? plain[name]! : 'nowhere';
  } else if (parts[0] === 'record' && parts[1] !== undefined) {
    try {
      route.id = decodeURIComponent(parts[1]);
    } catch {
      return route;
    }
    if (parts.length === 2) route.page = 'sheet';
    else if (parts.length === 3 && parts[2] === 'change') route.page = 'change';
  }
  return route;
}

/** isOurs tells whether the app answers an address itself, without the server. */
export function isOurs(address: URL, here: URL): boolean {
  return address.origin === here.origin && !/^\/(api|enter|assets|fonts)(\/|$)/.test(address.pathname);
}
