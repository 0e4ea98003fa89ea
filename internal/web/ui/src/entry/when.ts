/** When something was or will be, in words: the day, and the time where it is near. */
export function momentWords(instant: string, now = new Date()): string {
  const t = new Date(instant);
  if (Number.isNaN(t.getTime())) return 'not known';
  const day = t.toLocaleDateString('en-GB', { day: 'numeric', month: 'long', year: t.getFullYear() === now.getFullYear() ? undefined : 'numeric' });
  return Math.abs(t.getTime() - now.getTime()) < 7 * 86_400_000 ? `${day}, ${t.toLocaleTimeString('en-GB', { hour: '2-digit', minute: '2-digit' })}` : day;
}
