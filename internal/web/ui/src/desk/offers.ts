// What forms are offered by the server.
import type { Offer } from '../api/lists';
import { dayWords } from '../parts/words';

/** An offer in words, without its mark. */
export function offerWords(o: Offer): string {
  return o.date ? `${o.name}, ${dayWords(o.date)}` : o.name;
}

/** An offer as a line of a list: sites and forays by their marks, people by their names. */
export function offerLine(o: Offer, markLast: boolean): string {
  if (!o.code) return offerWords(o);
  return markLast ? `${offerWords(o)}, ${o.code}` : `${o.code} ${offerWords(o)}`;
}
