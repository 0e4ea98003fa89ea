/** The service worker, run against a stand-in of a browser: an older version with a page still open, and the version after it. */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { runInNewContext } from 'node:vm';
import { expect, test } from 'vitest';

type Handler = (event: Record<string, unknown>) => void;
const text = readFileSync(fileURLToPath(new URL('worker.js', import.meta.url)), 'utf8');

/** A browser's stores of files, and a server that has some. */
class Browser {
  stores = new Map<string, Map<string, string>>();
  server = new Map<string, string>();
  open = async (name: string) => {
    if (!this.stores.has(name)) this.stores.set(name, new Map());
    const store = this.stores.get(name)!;
    const add = async (r: string | { url: string }) => {
      const path = typeof r === 'string' ? r : r.url;
      const body = this.server.get(path);
      if (body === undefined) throw new TypeError(`no ${path}`);
      store.set(path, body);
    };
    return { add, addAll: async (list: (string | { url: string })[]) => { for (const r of list) await add(r); }, match: async (p: string) => store.get(p) };
  };
  caches = {
    open: this.open,
    keys: async () => [...this.stores.keys()],
    delete: async (name: string) => this.stores.delete(name),
    match: async (p: string) => [...this.stores.values()].map((s) => s.get(p)).find((x) => x !== undefined),
  };

  /** start runs a version of the worker, and returns what asks it. */
  start(version: string, files: string[], later: string[] = []) {
    const handlers = new Map<string, Handler>();
    const fetch = async (r: { url: string }) => `net ${r.url}`;
    const self = { addEventListener: (n: string, h: Handler) => handlers.set(n, h), location: { origin: 'https://fungi.example' }, skipWaiting: async () => undefined, clients: { claim: async () => undefined } };
    const source = text.replace('__VERSION__', version).replace('__FILES__', JSON.stringify(files)).replace('__LATER__', JSON.stringify(later));
    class Request { constructor(readonly url: string) {} }
    // No IndexedDB is handed to it: what waits to be sent is out of its reach.
    runInNewContext(source, { self, caches: this.caches, fetch, URL, Request });
    const tell = async (name: string, more: object = {}) => {
      let until: unknown;
      handlers.get(name)!({ waitUntil: (p: unknown) => (until = p), ...more });
      await until;
    };
    const ask = async (path: string, mode = 'cors', method = 'GET'): Promise<string | null> => {
      let answer: Promise<string> | null = null;
      handlers.get('fetch')!({ request: { url: `https://fungi.example${path}`, mode, method }, respondWith: (p: Promise<string>) => (answer = p) });
      return answer;
    };
    return { tell, ask };
  }
}

test('a page of the version before goes on, and the version after takes over whole', async () => {
  const b = new Browser();
  for (const f of ['/', '/assets/app-1.js', '/assets/checks.wasm']) b.server.set(f, `1 ${f}`);
  const first = b.start('1', ['/', '/assets/app-1.js'], ['/assets/checks.wasm']);
  await first.tell('install');
  await first.tell('activate');
  expect(await first.ask('/daybook', 'navigate')).toBe('1 /');
  expect(await first.ask('/assets/checks.wasm')).toBe('net https://fungi.example/assets/checks.wasm');
  await first.tell('message', { data: 'take along' });
  expect(await first.ask('/assets/checks.wasm')).toBe('1 /assets/checks.wasm');

  b.server = new Map([['/', '2 /'], ['/assets/app-2.js', '2 app']]);
  const second = b.start('2', ['/', '/assets/app-2.js']);
  await second.tell('install');
  await second.tell('activate');
  expect(await second.ask('/daybook', 'navigate')).toBe('2 /');
  expect(await second.ask('/assets/app-1.js')).toBe('1 /assets/app-1.js'); // a page that is still open
});

test('a phone that has the app has all of the next version before that takes over; on a first visit the page comes first', async () => {
  const b = new Browser();
  const files = (n: string) => new Map([['/', `${n} /`], [`/assets/app-${n}.js`, n], [`/assets/checks-${n}.wasm`, n]]);
  const worker = (n: string) => b.start(n, ['/', `/assets/app-${n}.js`], [`/assets/checks-${n}.wasm`]);
  b.server = files('1');
  await worker('1').tell('install');
  expect(b.stores.get('trug-1')?.has('/assets/checks-1.wasm')).toBe(false);
  b.server = files('2');
  const second = worker('2');
  await second.tell('install');
  await second.tell('activate');
  b.server.clear(); // out of reach from here on
  expect(await second.ask('/assets/checks-2.wasm')).toBe('2');
  // It is no reason to stay with the old version.
  b.server = files('3');
  b.server.delete('/assets/checks-3.wasm');
  await worker('3').tell('install');
});

test('a version that does not come whole is not taken', async () => {
  const b = new Browser();
  b.server.set('/', '1 /');
  await expect(b.start('1', ['/', '/assets/lost.js']).tell('install')).rejects.toThrow('no /assets/lost.js');
});

test('what belongs to the server is asked there, and nothing that is sent is touched', async () => {
  const b = new Browser();
  const w = b.start('1', ['/']);
  for (const [path, mode, method] of [['/api/daybook', 'cors', 'GET'], ['/enter/abc', 'navigate', 'GET'], ['/trust', 'navigate', 'GET'], ['/api/field/messages', 'cors', 'POST']] as const) expect(await w.ask(path, mode, method), path).toBeNull();
});
