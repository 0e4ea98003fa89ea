// Who may do what at the Season desk. The server decides; this only keeps what it would refuse from being offered.
import type { ShownMe } from '../api/types';

/** Whether they run the season. */
export function isCoordinator(me: ShownMe | null): boolean {
  return me?.roles.includes('coordinator') ?? false;
}

/** Whether they may change a foray: the coordinator every one, a leader those they lead or made, and new ones. */
export function mayChangeForay(me: ShownMe | null, foray: { leader?: string; by?: string } | null): boolean {
  if (!me) return false;
  if (isCoordinator(me)) return true;
  if (!me.roles.includes('leader')) return false;
  return foray === null || foray.leader === me.id || foray.by === me.id;
}
