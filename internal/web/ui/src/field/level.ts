/** How a phone is held, by its own sense of what is up, and how it should be held for a view. */
import type { ViewKind } from '../api/types';
import { t } from '../words';

/** Up, as seen on the screen: x to its right, y to its top, z out of it towards the eye; of length 1. */
export interface Up {
  x: number;
  y: number;
  z: number;
}

/** Held is how near the phone is to how it should be held. */
export interface Held {
  level: boolean;
  /** What to do, or that it is well. */
  says: string;
  /** Where the mark of a level stands, -1 to 1 each way; 0, 0 is right. */
  x: number;
  y: number;
}

/**
 * upOf turns the angles of the event `deviceorientation` (degrees) into what is up on a screen that stands turned by
 * `turned` degrees (`screen.orientation.angle`). By the W3C's device orientation the phone turns about z, then x by
 * beta, then y by gamma; the third row of that rotation is the earth's up as the phone has it.
 */
export function upOf(beta: number, gamma: number, turned: number): Up {
  const [b, g, a] = [beta, gamma, turned].map((degrees) => (degrees * Math.PI) / 180) as [number, number, number];
  const x = -Math.cos(b) * Math.sin(g);
  const y = Math.sin(b);
  return { x: x * Math.cos(a) - y * Math.sin(a), y: x * Math.sin(a) + y * Math.cos(a), z: Math.cos(b) * Math.cos(g) };
}

// How far off is still well, in degrees; our own judgement: 8 degrees aslant shorten a width by one part in a hundred.
const down = 8;
const upright = 4;
const raised = 15;
/** The mark reaches the rim of the level at so many degrees. */
const rim = 30;

const degrees = (radians: number) => (radians * 180) / Math.PI;
const within = (v: number) => Math.max(-1, Math.min(1, v));

/** heldFor says how the phone is held for a kind of view; null where no way of holding it is better. */
export function heldFor(kind: ViewKind, up: Up): Held | null {
  if (kind === 'top') return straightDown(up);
  if (kind === 'side' || kind === 'surroundings') return straightOn(up, kind === 'side');
  return null;
}

function straightDown(up: Up): Held {
  const off = degrees(Math.acos(within(up.z)));
  const far = Math.hypot(up.x, up.y) || 1;
  const reach = within(off / rim);
  const mark = { x: (up.x / far) * reach, y: (up.y / far) * reach };
  if (off <= down) return { level: true, says: t('Level: you look straight down.'), ...mark };
  // The edge towards which up leans is the one that stands too high.
  const says =
    Math.abs(up.y) >= Math.abs(up.x)
      ? up.y > 0 ? t('Lower the upper edge of the phone.') : t('Raise the upper edge of the phone.')
      : up.x > 0 ? t('Lower the right edge of the phone.') : t('Raise the right edge of the phone.');
  return { level: false, says, ...mark };
}

function straightOn(up: Up, low: boolean): Held {
  const roll = degrees(Math.atan2(up.x, up.y));
  const high = degrees(Math.asin(within(up.z))); // how far the camera looks down
  const mark = { x: within(roll / rim), y: low ? within(high / rim) : 0 };
  if (low && high > raised) return { level: false, says: t('Get down lower: you still look from above.'), ...mark };
  if (low && high < -raised) return { level: false, says: t('Tip the phone forward: you look up.'), ...mark };
  if (Math.abs(roll) > upright) return { level: false, says: roll > 0 ? t('Turn the phone a little to the right.') : t('Turn the phone a little to the left.'), ...mark };
  return { level: true, says: t('Level.'), ...mark };
}
