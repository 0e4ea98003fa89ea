/** A look at a page with the checker axe, at the width of a phone and of a desk, by day and by night. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { expect } from 'vitest';

const axe = readFileSync(fileURLToPath(new URL('../node_modules/axe-core/axe.min.js', import.meta.url)), 'utf8');

/** looked fails where axe finds something or the page scrolls sideways; it takes pictures where LOOKS names a folder. */
export async function looked(page: Page, name: string): Promise<void> {
  const was = page.viewportSize()!;
  for (const width of [390, 1280]) {
    await page.setViewportSize({ width, height: 900 });
    for (const colorScheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
      const found = await page.evaluate(`(() => { ${axe}; return axe.run().then((r) => r.violations.map((v) => v.id + ': ' + v.nodes.map((n) => n.target + ' ' + n.failureSummary).join('; '))); })()`);
      expect(found, `axe on ${name} at ${width}, ${colorScheme}`).toEqual([]);
      if (process.env.LOOKS) await page.screenshot({ path: join(process.env.LOOKS, `${name}-${width}-${colorScheme}.png`), fullPage: true });
    }
    expect(await page.evaluate('document.documentElement.scrollWidth <= window.innerWidth'), `${name} scrolls sideways at ${width}`).toBe(true);
  }
  await page.emulateMedia({ colorScheme: null, reducedMotion: null });
  await page.setViewportSize(was);
}

/** tabTo presses Tab until what is named has the keyboard. */
export async function tabTo(page: Page, name: RegExp | string): Promise<void> {
  const passed: string[] = [];
  for (let n = 0; n < 150; n++) {
    const at = await page.evaluate(() => {
      const e = document.activeElement as HTMLElement | null;
      return (e?.closest('label')?.textContent ?? document.querySelector(`label[for="${e?.id ?? ''}"]`)?.textContent ?? e?.textContent ?? '').trim();
    });
    if (typeof name === 'string' ? at === name : name.test(at)) return;
    passed.push(at.slice(0, 40));
    await page.keyboard.press('Tab');
  }
  throw new Error(`the keyboard does not reach ${String(name)}; passed ${[...new Set(passed)].join(' | ')}`);
}
