// What one photograph's checks take in a browser's worker that has a quarter of one core.
//
//   node bench/look/time.mjs [--share 0.25] [--rounds 3] PHOTOGRAPH.jpg ...
//
// It serves the built web app's own worker (internal/web/dist; build it first) to Chromium, and holds all of
// Chromium's processes to the share by a control group's quota: version 1 or 2, whichever can be written.
// Where neither can, it runs without and multiplies, and says so. Photographs are drawn by bench/sharp.
import { createServer } from 'node:http';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, existsSync, rmdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { parseArgs } from 'node:util';
import { chromium } from '../../internal/web/ui/node_modules/playwright-core/index.mjs';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { share: { type: 'string', default: '0.25' }, rounds: { type: 'string', default: '3' }, chromium: { type: 'string', default: '/usr/bin/chromium' } },
});
const share = Number(values.share);
if (!positionals.length || !(share > 0)) {
  console.error('name at least one photograph; see the head of this file');
  process.exit(2);
}

const assets = join(import.meta.dirname, '../../internal/web/dist/assets');
const worker = readdirSync(assets).find((n) => /^checks\.worker-.*\.js$/.test(n));
if (!worker) throw new Error('the web app is not built: npm run build in internal/web/ui');
const kinds = { js: 'text/javascript', wasm: 'application/wasm', jpg: 'image/jpeg' };
const server = createServer((asked, answer) => {
  const name = basename(decodeURIComponent(new URL(asked.url, 'http://x').pathname));
  if (!name) return answer.setHeader('Content-Type', 'text/html').end('<!doctype html><title>look</title>');
  const file = positionals.find((p) => basename(p) === name) ?? join(assets, name);
  answer.setHeader('Content-Type', kinds[name.split('.').pop()] ?? 'application/octet-stream');
  if (existsSync(file)) return answer.end(readFileSync(file));
  if (!existsSync(`${file}.gz`)) return answer.writeHead(404).end();
  answer.setHeader('Content-Encoding', 'gzip').end(readFileSync(`${file}.gz`));
}).listen(0, '127.0.0.1');
await new Promise((up) => server.on('listening', up));

/** confined makes a control group of the share; undefined where this machine allows none. */
function confined() {
  const name = `look-${process.pid}`;
  for (const [root, file, text] of [
    ['/sys/fs/cgroup/cpu', 'cpu.cfs_quota_us', String(Math.round(share * 100000))],
    ['/sys/fs/cgroup', 'cpu.max', `${Math.round(share * 100000)} 100000`],
  ]) {
    const group = join(root, name);
    try {
      mkdirSync(group);
      writeFileSync(join(group, file), text);
      return group;
    } catch {
      if (existsSync(group)) rmdirSync(group);
    }
  }
}
const group = share < 1 ? confined() : undefined;
const scratch = mkdtempSync(join(tmpdir(), 'look-'));
const start = join(scratch, 'chromium');
writeFileSync(start, `#!/bin/sh\n${group ? `echo $$ > ${group}/cgroup.procs\n` : ''}exec ${values.chromium} "$@"\n`, { mode: 0o755 });
const times = group || share >= 1 ? 1 : 1 / share;
console.log(group ? `Chromium confined to ${share} of one core by ${group}` : `not confined; times are multiplied by ${times}`);

const browser = await chromium.launch({ executablePath: start, args: ['--no-sandbox'], timeout: 300000 });
try {
  const page = await browser.newPage();
  page.setDefaultTimeout(600000);
  await page.goto(`http://127.0.0.1:${server.address().port}/`, { timeout: 300000 });
  const began = Date.now();
  await page.evaluate(async (name) => {
    const w = (globalThis.checks = new Worker(`/assets/${name}`, { type: 'module' }));
    await new Promise((ready, fail) => {
      w.onmessage = (e) => (e.data.ready ? ready() : fail(new Error(e.data.blocked)));
      w.onerror = (e) => fail(new Error(e.message));
    });
  }, worker);
  console.log(`worker started in ${((times * (Date.now() - began)) / 1000).toFixed(2)} s`);
  for (const photograph of positionals) {
    for (let round = 0; round < Number(values.rounds); round++) {
      const t = await page.evaluate(async (name) => {
        const blob = await (await fetch(`/${encodeURIComponent(name)}`)).blob();
        const from = performance.now();
        const answer = await new Promise((done) => {
          globalThis.checks.onmessage = (e) => done(e.data);
          globalThis.checks.postMessage({ id: 1, call: 'look', blob, told: { kind: 'top', film35: 26, flash: false } });
        });
        if (answer.wrong) throw new Error(answer.wrong);
        return { all: performance.now() - from, decoded: answer.decoded, looked: answer.looked, card: !!answer.answer.seen?.card, subject: !!answer.answer.seen?.subject?.found };
      }, basename(photograph));
      const s = (ms) => ((times * ms) / 1000).toFixed(2);
      console.log(`${basename(photograph)}: all ${s(t.all)} s, of that decoding ${s(t.decoded)}, looking ${s(t.looked)}; card ${t.card}, subject ${t.subject}`);
    }
  }
} finally {
  await browser.close();
  server.close();
  rmSync(scratch, { recursive: true });
  if (group) rmdirSync(group);
}
