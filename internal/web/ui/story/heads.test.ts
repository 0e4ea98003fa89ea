/** A leader counts heads on the day of the foray: in reach, out of it, and again in reach. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { looked } from './looked';
import { openBrowser, phone } from './person';
import { freshFolder, serve, type Serving } from './program';
import { Room } from './screens';

describe('heads are counted', () => {
  const folders = [freshFolder('heads'), freshFolder('heads-empty')] as const;
  let season: Serving, empty: Serving;
  let browser: Browser;
  let page: Page;

  beforeAll(async () => {
    season = await serve('demo', folders[0].path, { today: '2026-10-11' });
    empty = await serve('serve', folders[1].path, { today: '2026-10-11' });
    browser = await openBrowser();
    const room = await Room.open(browser, season, empty, { viewport: phone });
    page = await room.visit({ name: 'daybook', who: 'leader', path: '/daybook' }, async () => undefined);
  });
  afterAll(async () => {
    await browser?.close();
    await season?.stop();
    await empty?.stop();
    for (const folder of folders) folder.remove();
  });

  const count = async (label: string, people: string, button: string) => {
    await page.getByLabel(label).fill(people);
    await page.getByRole('button', { name: button }).click();
  };

  test('who set out, out of reach who is back, and who is missing', async () => {
    const block = page.getByRole('region', { name: 'Carr walk: count heads' });
    await block.waitFor();
    await count('How many set out', 'many', 'We set out');
    await block.getByText('Type how many you are, yourself and the children too.').waitFor();
    await count('How many set out', '14', 'We set out');
    await block.getByText(/^14, counted at/).waitFor();
    await page.context().setOffline(true);
    await count('How many are back', '12', 'They are back');
    await block.getByText('2 people are not back.').waitFor();
    await block.getByText('Your count is kept on this phone and sent in reach.').waitFor();
    await looked(page, 'heads');
    await page.context().setOffline(false);
    await page.reload();
    await block.getByText('2 people are not back.').waitFor();
    await expect.poll(() => block.getByText('Your count is kept on this phone').count()).toBe(0);
    const at = await page.evaluate(async () => ((await (await fetch('/api/forays/coming')).json()) as { code: string; heads?: object }[]).find((y) => y.code === 'O08')?.heads);
    expect(at).toMatchObject({ out: 14, back: 12, away: 2 });
    await count('How many are back', '14', 'They are back');
    await block.getByText('All are back.').waitFor();
  });
});
