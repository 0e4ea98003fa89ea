/** Where in the app we are: the address bar as state, and how to move. */
import { isOurs, readRoute, type Route } from './router';

const here = () => new URL(window.location.href);

class Here {
  route: Route = $state.raw(readRoute(here()));
}

/** at.route is the address as it is now. */
export const at = new Here();

/** go moves to an address of the app. With `quiet` it takes the place of the present one. */
export function go(path: string, quiet = false): void {
  const to = new URL(path, window.location.href);
  const before = at.route.path;
  if (quiet) history.replaceState(null, '', to);
  else history.pushState(null, '', to);
  at.route = readRoute(to);
  if (before !== at.route.path) window.scrollTo(0, 0);
}

/** listen lets plain links move within the app; it returns how to stop. */
export function listen(): () => void {
  const clicked = (event: MouseEvent) => {
    if (event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey || event.altKey) return;
    const link = event.target instanceof Element ? event.target.closest('a') : null;
    if (!link || link.target || link.hasAttribute('download') || !link.href) return;
    const to = new URL(link.href);
    if (!isOurs(to, here()) || (to.hash && to.pathname === window.location.pathname)) return;
    event.preventDefault();
    go(to.href);
  };
  const moved = () => {
    at.route = readRoute(here());
  };
  document.addEventListener('click', clicked);
  window.addEventListener('popstate', moved);
  return () => {
    document.removeEventListener('click', clicked);
    window.removeEventListener('popstate', moved);
  };
}
