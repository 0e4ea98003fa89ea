/**
 * Every screen goes through the accessibility checker axe at the size of a
 * phone and of a desk, by day and by night; nothing lies outside the page on
 * the phone; and what has the keyboard is never covered (WCAG 2.2, 2.4.11).
 */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { AxeResults } from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { desk, openBrowser, phone } from './person';
import { complaints, freshFolder, serve, type Serving } from './program';
import { Room, screens, settled } from './screens';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const standards = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

describe('every screen can be used by everybody', () => {
  const folders = [freshFolder('axe'), freshFolder('axe-empty')] as const;
  let season: Serving, empty: Serving;
  let browser: Browser;
  let room: Room;

  beforeAll(async () => {
    season = await serve('demo', folders[0].path);
    empty = await serve('serve', folders[1].path, { today: '2026-10-10' });
    browser = await openBrowser();
    // The checker is a script put into the page, which the server's policy forbids.
    room = await Room.open(browser, season, empty, { viewport: phone, bypassCSP: true });
  });
  afterAll(async () => {
    await browser?.close();
    await season?.stop();
    await empty?.stop();
    for (const folder of folders) folder.remove();
  });

  for (const screen of screens) {
    test(`${screen.name} (${screen.who})`, async () => {
      const faults: string[] = [];
      const before = complaints(season.said()).length;
      const page = await room.visit(screen, async (page) => {
        page.on('pageerror', (e) => faults.push(`thrown: ${e.message}`));
        page.on('console', (m) => {
          const status = Number(/status of (\d+)/.exec(m.text())?.[1] ?? 0);
          if (m.type() === 'error' && !screen.refusals?.includes(status)) faults.push(`console: ${m.text()} ${m.location().url}`);
        });
      });
      await page.evaluate(axe);
      for (const [size, viewport] of Object.entries({ phone, desk })) {
        await page.setViewportSize(viewport);
        for (const colorScheme of ['light', 'dark'] as const) {
          await page.emulateMedia({ colorScheme });
          await settled(page);
          // By night only the colours are others.
          faults.push(...(await violations(page, colorScheme === 'dark')).map((v) => `${size}, ${colorScheme}: ${v}`));
        }
      }
      await page.emulateMedia({ colorScheme: 'light' });
      await page.setViewportSize({ width: 320, height: 640 });
      await settled(page);
      faults.push(...(await outside(page)).map((f) => `320 pixels wide: ${f}`));
      await page.setViewportSize(phone);
      await settled(page);
      faults.push(...(await covered(page)).map((f) => `phone: ${f}`));
      faults.push(...complaints(season.said()).slice(before).map((line) => `the program: ${line}`));
      expect(faults).toEqual([]);
      await page.close();
    });
  }
});

async function violations(page: Page, coloursAlone: boolean): Promise<string[]> {
  const only = coloursAlone ? { type: 'rule', values: ['color-contrast', 'link-in-text-block'] } : { type: 'tag', values: standards };
  const found = await page.evaluate(async (runOnly) => {
    // What sticks lies over some link or other until somebody scrolls; the checker takes that for a fault.
    for (const e of document.querySelectorAll<HTMLElement>('body *')) if (getComputedStyle(e).position === 'sticky') e.style.position = 'static';
    const run = (window as unknown as { axe: { run: (context: Document, options: object) => Promise<AxeResults> } }).axe.run;
    const found = (await run(document, { runOnly, resultTypes: ['violations'] })).violations;
    for (const e of document.querySelectorAll<HTMLElement>('body *')) if (e.style.position === 'static') e.style.position = '';
    return found;
  }, only);
  return found.flatMap((v) => v.nodes.map((n) => `${v.id}: ${v.help}: ${n.html.slice(0, 160)} ${(n.failureSummary ?? '').replace(/\s+/g, ' ')}`));
}

/** outside tells what makes the page scroll sideways (WCAG 2.2, 1.4.10: down to 320 pixels). */
function outside(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const wide = document.documentElement.clientWidth;
    if (document.documentElement.scrollWidth <= wide) return [];
    const over = [...document.querySelectorAll('body *')].filter((e) => e.getBoundingClientRect().right > wide + 1);
    return [`the page is ${document.documentElement.scrollWidth} pixels wide, for ${over.slice(0, 3).map((e) => e.outerHTML.slice(0, 90)).join(' and ')}`];
  });
}

/** covered goes through the page by Tab and tells what cannot be seen while it has the keyboard. */
async function covered(page: Page): Promise<string[]> {
  const faults = new Set<string>();
  const seen = new Set<string>();
  for (let n = 0; n < 60; n++) {
    await page.keyboard.press('Tab');
    const at = await page.evaluate(() => {
      const e = document.activeElement;
      if (!e || e === document.body) return null;
      // A control that lies invisibly in its label is shown by the label.
      const box = [e, e.closest('label')].map((x) => x?.getBoundingClientRect()).find((r) => r && r.width > 4 && r.height > 4);
      const path = `${e.tagName} ${e.id} ${e.className} ${e.getAttribute('href') ?? ''} ${e.textContent?.trim().slice(0, 40)}`;
      if (!box) return { path, hidden: false };
      const points = [0.5, 0.1, 0.9].flatMap((x) => [0.5, 0.1, 0.9].map((y) => [box.left + box.width * x, box.top + box.height * y] as const));
      const hidden = !points.some(([x, y]) => {
        const there = document.elementFromPoint(x, y);
        return there && (e.contains(there) || there.contains(e) || e.closest('label')?.contains(there));
      });
      return { path, hidden };
    });
    if (!at || seen.has(at.path)) continue;
    seen.add(at.path);
    if (at.hidden) faults.add(`covered while it has the keyboard: ${at.path}`);
  }
  return [...faults];
}
