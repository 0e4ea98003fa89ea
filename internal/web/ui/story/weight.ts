/** Not a test: says what a first visit weighs, and how long the program takes to answer after its start. */
import { test } from 'vitest';
import { openBrowser, Person, phone } from './person';
import { freshFolder, serve } from './program';

test('what a first visit weighs', async () => {
  const data = freshFolder('weight');
  const first = await serve('demo', data.path);
  console.log(`the first page ${Math.round(first.firstPage)} ms after the start of a new demonstration`);
  await first.stop();
  const program = await serve('demo', data.path);
  console.log(`the first page ${Math.round(program.firstPage)} ms after its second start`);
  const browser = await openBrowser();
  // Each visit begins in a browser that has nothing yet; who comes in by a link is led on to the Daybook.
  for (const [page, address] of [['public page', `${program.address}/`], ['Daybook, coming in by the link', program.links.get('recorder')!]] as const) {
    const person = await Person.at(browser, page, phone);
    const parts = new Map<string, string>();
    const bytes = new Map<string, number>();
    await person.cdp.send('Network.enable');
    person.cdp.on('Network.requestWillBeSent', (e) => parts.set(e.requestId, e.type ?? 'Other'));
    person.cdp.on('Network.loadingFinished', (e) => bytes.set(e.requestId, e.encodedDataLength));
    await person.open(address);
    await person.page.waitForLoadState('networkidle');
    const kinds = [...new Set(parts.values())].map((kind) => {
      const of = [...bytes].filter(([id]) => parts.get(id) === kind);
      return `${kind} ${of.length}: ${kB(of.reduce((sum, [, b]) => sum + b, 0))}`;
    });
    console.log(`${page}: ${parts.size} requests, ${kB([...bytes.values()].reduce((sum, b) => sum + b, 0))} (${kinds.join(', ')})`);
    await person.context.close();
  }
  await browser.close();
  await program.stop();
  data.remove();
});

const kB = (bytes: number) => `${(bytes / 1000).toFixed(1)} kB`;
