/**
 * The camera seen live, with a made picture in place of the camera: the card is found in it, the level follows how the
 * phone is held, and what is taken becomes a view of the record. Where the camera is refused, that is said.
 */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { looked } from './looked';
import { openBrowser, phone } from './person';
import { freshFolder, serve, type Serving } from './program';
import { Room } from './screens';

const picture = readFileSync(fileURLToPath(new URL('files/card-pocket-0.jpg', import.meta.url)));
const wanted = 'Camera with outline and level';

describe('the camera seen live', () => {
  const folders = [freshFolder('live'), freshFolder('live-empty')] as const;
  const made = mkdtempSync(join(tmpdir(), 'trug-film-'));
  let season: Serving, empty: Serving;
  let browser: Browser;

  beforeAll(async () => {
    const film = join(made, 'film.mjpeg');
    writeFileSync(film, Buffer.concat(Array.from({ length: 10 }, () => picture)));
    season = await serve('demo', folders[0].path);
    empty = await serve('serve', folders[1].path, { today: '2026-10-10' });
    browser = await openBrowser('--use-fake-device-for-media-stream', `--use-file-for-fake-video-capture=${film}`);
  });
  afterAll(async () => {
    await browser?.close();
    await season?.stop();
    await empty?.stop();
    for (const folder of folders) folder.remove();
    rmSync(made, { recursive: true, force: true });
  });

  const newRecord = async (permissions: string[]): Promise<Page> => {
    const room = await Room.open(browser, season, empty, { viewport: phone, permissions, geolocation: { latitude: 51.5, longitude: -1.5, accuracy: 12 } });
    return room.visit({ name: 'a new record', who: 'recorder', path: '/new' }, async () => undefined);
  };
  const tipping = async (page: Page) => {
    const cdp = await page.context().newCDPSession(page);
    return (beta: number, gamma: number) => cdp.send('DeviceOrientation.setDeviceOrientationOverride', { alpha: 0, beta, gamma });
  };

  test('finds the card, says how to hold the phone, and keeps what is taken', async () => {
    const page = await newRecord(['camera', 'accelerometer', 'gyroscope', 'geolocation']);
    const tip = await tipping(page);
    await page.getByRole('button', { name: wanted }).click();
    const live = page.getByRole('dialog', { name: 'Top' });
    await live.getByText('The card is seen.').first().waitFor();
    await tip(30, 0);
    await live.getByText('Lower the upper edge of the phone.').first().waitFor();
    await tip(1, 1);
    await live.getByText('Level: you look straight down.').first().waitFor();
    await looked(page, 'live-top');
    // The picture was drawn with the card's corner at 60, 60 (internal/app/apptest).
    const corners = await live.locator('polygon.over').getAttribute('points');
    const [x, y] = corners!.split(' ')[0]!.split(',').map(Number) as [number, number];
    expect(Math.hypot(x - 60, y - 60)).toBeLessThan(3);
    await live.getByRole('button', { name: 'Take it' }).click();
    await live.waitFor({ state: 'hidden' });
    await page.getByRole('heading', { level: 1, name: 'Side' }).waitFor();
    await page.getByRole('region', { name: 'Top: looked over' }).getByRole('heading').waitFor();
    // The next view has its own outline and its own way of holding the phone.
    await page.getByRole('button', { name: wanted }).click();
    const side = page.getByRole('dialog', { name: 'Side' });
    await tip(40, 0);
    await side.getByText('Get down lower: you still look from above.').first().waitFor();
    await looked(page, 'live-side');
    await page.keyboard.press('Escape');
    await side.waitFor({ state: 'hidden' });
    expect(await page.getByRole('button', { name: wanted }).evaluate((b) => b === document.activeElement)).toBe(true);
    // Where it was taken went with it, twice as unsure as the device says.
    await page.goto(new URL('/new?q=where', page.url()).href);
    await page.getByText('Where you were:').waitFor();
    await page.getByText(/to 24\u00a0m\./).waitFor();
    await page.close();
  });

  test('says where the camera is refused', async () => {
    const page = await newRecord([]);
    await page.getByRole('button', { name: wanted }).click();
    await page.getByText('This browser may not use the camera. Allow it in the browser’s settings, or take the photograph with the phone’s own camera.').waitFor();
    await looked(page, 'live-refused');
    await page.getByRole('button', { name: 'Back without a photograph' }).click();
    await page.getByText('Take or choose a photograph').waitFor();
    await page.close();
  });
});
