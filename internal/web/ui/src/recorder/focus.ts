/** Where the keyboard goes on when what it stood on has gone from the page. */
import { tick } from 'svelte';

/** landOn puts the keyboard on an element, whatever it is; null is passed over. */
export function landOn(el: HTMLElement | null | undefined): void {
  if (!el) return;
  if (el.tabIndex < 0 && !el.hasAttribute('tabindex')) el.tabIndex = -1;
  el.focus();
}

/**
 * afterTaking goes on, once the page has followed, at the control that moved up
 * into the place of the one that was taken out of a list; at the last one where
 * it was the last; where none is left, at what `otherwise` finds.
 */
export async function afterTaking(place: number, left: () => ArrayLike<HTMLElement>, otherwise: () => HTMLElement | null | undefined): Promise<void> {
  await tick();
  const still = left();
  landOn(still[Math.min(place, still.length - 1)] ?? otherwise());
}
