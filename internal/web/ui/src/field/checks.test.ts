/** The page's side of the worker, against a stand-in of one. */
import { afterEach, beforeEach, expect, test, vi } from 'vitest';

vi.mock('./checks.worker?worker&url', () => ({ default: '/assets/checks.js' })); // as the build names it

type Message = { data: object };
class Stand {
  static all: Stand[] = [];
  onmessage: ((e: Message) => void) | null = null;
  onerror: unknown = null;
  gone = false;
  asked: { id: number }[] = [];
  constructor() {
    Stand.all.push(this);
  }
  postMessage(m: { id: number }) {
    this.asked.push(m);
  }
  terminate() {
    this.gone = true;
  }
  says(data: object) {
    this.onmessage?.({ data });
  }
}
beforeEach(() => {
  Stand.all = [];
  vi.stubGlobal('Worker', Stand);
  vi.stubGlobal('ImageBitmap', class {});
  vi.resetModules();
});
afterEach(() => vi.unstubAllGlobals());

test('a program that ended is begun anew for the next photograph; where it ends again and again the server is asked', async () => {
  const { Blocked, checkView, Unreadable } = await import('./checks');
  const blob = new Blob(['x']);
  const looks = () => checkView(blob, 'top').then((got) => got.took.looking, (why: unknown) => why);
  const last = () => Stand.all.at(-1)!;
  for (let n = 1; n <= 2; n++) {
    const [one, other] = [looks(), looks()];
    last().says({ ended: true });
    expect([await one, await other].map((why) => why instanceof Unreadable)).toEqual([true, true]);
    expect([Stand.all.length, last().gone]).toEqual([n, true]);
  }
  const fine = looks();
  last().says({ id: last().asked[0]!.id, answer: {}, decoded: 1, looked: 7 });
  expect(await fine).toBe(7);
  const third = looks();
  last().says({ ended: true });
  expect(await third).toBeInstanceOf(Blocked);
  expect(await looks()).toBeInstanceOf(Blocked);
  expect(Stand.all.length).toBe(3);
});
