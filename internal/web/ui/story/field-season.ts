/** A season for a phone to be out of reach in: set up, open, with a site and a field code. */
import type { Page } from 'playwright-core';
import { openBrowser } from './person';
import { serve, type Serving } from './program';

/** ask calls the API as the page's person. */
export const ask = <T>(on: Page, method: string, path: string, body?: unknown): Promise<T> =>
  on.evaluate(
    async ({ method, path, body }) => {
      const r = await fetch(`/api${path}`, { method, headers: { 'Content-Type': 'application/json' }, body: body === undefined ? undefined : JSON.stringify(body) });
      if (!r.ok) throw new Error(`${path}: ${r.status} ${await r.text()}`);
      return r.json();
    },
    { method, path, body },
  ) as Promise<T>;

/** fieldSeason serves a season from the folder. The address is localhost's, where browsers allow all. */
export async function fieldSeason(data: string): Promise<{ program: Serving; address: string; code: string }> {
  const program = await serve('serve', data, { today: '2026-10-10' });
  const address = program.address.replace('127.0.0.1', 'localhost');
  const browser = await openBrowser();
  const coordinator = await (await browser.newContext({ serviceWorkers: 'block' })).newPage();
  coordinator.setDefaultTimeout(90_000);
  await coordinator.goto([...program.links.values()][0]!.replace('127.0.0.1', 'localhost'));
  const made = await ask<{ link: string }>(coordinator, 'POST', '/seasons', {
    code: 'S26', title: 'Fungi of Sallow Down', place: 'Sallow Down', starts: '2026-09-19', ends: '2026-11-08', zone: 'Etc/GMT+1', licence: 'CC-BY-4.0', coordinator: 'Ottoline Marchbank',
    box: { west: -20.1, east: -19.8, north: 48.6, south: 48.45 },
  });
  await coordinator.goto(address + made.link);
  await coordinator.reload();
  await coordinator.getByLabel('Password', { exact: true }).fill('mossy heron by lamplight');
  await coordinator.getByRole('button', { name: 'Use this password' }).click();
  await coordinator.getByRole('heading', { name: 'You are in', exact: true }).waitFor();
  const settings = await ask<object>(coordinator, 'GET', '/settings');
  await ask(coordinator, 'PUT', '/settings', { ...settings, emergency: '555 0100', poisonCentre: '555 0199' });
  await ask(coordinator, 'PUT', '/sites/01999999-0000-7000-8000-000000000001', {
    id: '', code: 'S1', name: 'Sallow Copse', lat: 48.521, lon: -19.954, radius: 300, habitat: [], outline: [], hazards: ['Old mine shafts north of the path'], open: true, forays: 0, records: 0, notes: [], permission: { words: 'yes' },
  });
  await ask(coordinator, 'POST', '/settings/open', {});
  const { code } = await ask<{ code: string }>(coordinator, 'PUT', '/field-code', { code: '', lets: false, last: '2026-11-08', renew: true });
  await browser.close();
  return { program, address, code };
}
