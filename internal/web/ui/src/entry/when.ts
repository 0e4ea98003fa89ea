import type { Role } from '../api/types';
import { locale, t } from '../words';
import { word } from '../words/said';

/** When something was or will be, in words: the day, and the time where it is near. */
export function momentWords(instant: string, now = new Date()): string {
  const at = new Date(instant);
  if (Number.isNaN(at.getTime())) return t('not known');
  const day = at.toLocaleDateString(locale, { day: 'numeric', month: 'long', year: at.getFullYear() === now.getFullYear() ? undefined : 'numeric' });
  return Math.abs(at.getTime() - now.getTime()) < 7 * 86_400_000 ? `${day}, ${at.toLocaleTimeString(locale, { hour: '2-digit', minute: '2-digit' })}` : day;
}

/** rolesWords says what somebody is in the season. */
export function rolesWords(list: readonly (Role | string)[]): string {
  const words = list.map((role) => t('{role, select, recorder {recorder} leader {leader} determiner {determiner} coordinator {coordinator} other {{role}}}', { role }));
  return locale === 'en-GB' ? words.join(' and ') : words.join(', ');
}

/** wayWords says by what somebody came in. */
export const wayWords = (way: string): string => word(way);
