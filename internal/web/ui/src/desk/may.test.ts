import { expect, it } from 'vitest';
import type { Role, ShownMe } from '../api/types';
import { isCoordinator, mayChangeForay } from './may';

const me = (...roles: Role[]): ShownMe => ({ id: 'me', name: 'Me', roles, places: [], by: 'password', returns: true });

it('lets the coordinator change every foray, a leader their own and new ones, others none', () => {
  expect(mayChangeForay(me('coordinator'), { leader: 'other' })).toBe(true);
  expect(mayChangeForay(me('leader'), { leader: 'me' })).toBe(true);
  expect(mayChangeForay(me('leader'), { by: 'me' })).toBe(true);
  expect(mayChangeForay(me('leader'), null)).toBe(true);
  expect(mayChangeForay(me('leader'), { leader: 'other' })).toBe(false);
  expect(mayChangeForay(me('recorder', 'determiner'), { leader: 'me' })).toBe(false);
  expect(mayChangeForay(null, null)).toBe(false);
});
it('knows who runs the season', () => {
  expect([isCoordinator(me('leader', 'coordinator')), isCoordinator(me('leader')), isCoordinator(null)]).toEqual([true, false, false]);
});
