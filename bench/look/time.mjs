// What one photograph's checks take in a browser's worker that has a quarter of one core, and by how much finding the
// card there takes longer than the same code outside the browser.
//
//   node bench/look/time.mjs [--share 0.25] [--rounds 3] [--wait 0] PHOTOGRAPH.jpg ...
//   node bench/look/time.mjs --card PHOTOGRAPH.jpg ...      finding the card: wasm / native, the whole core
//   node bench/look/time.mjs --alike PHOTOGRAPH.jpg ...     whether all ways of decoding give the same answer
//
// The clock is what a finder waits; beside it stands the processor time of all of Chromium, which a busy machine
// hardly changes. --wait is for how many seconds the worker is there before the first photograph comes.
//
// It serves the built web app's own worker (internal/web/dist/assets, or those of --assets; build them first) to Chromium, and holds all of
// Chromium's processes to the share by a control group's quota: version 1 or 2, whichever can be written.
// Where neither can, it runs without and multiplies, and says so. Photographs are drawn by bench/sharp.
import { execFileSync } from 'node:child_process';
import { createServer } from 'node:http';
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, existsSync, rmdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { parseArgs } from 'node:util';
import { chromium } from '../../internal/web/ui/node_modules/playwright-core/index.mjs';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    share: { type: 'string', default: '0.25' },
    rounds: { type: 'string', default: '3' },
    wait: { type: 'string', default: '0' },
    card: { type: 'boolean', default: false },
    alike: { type: 'boolean', default: false },
    assets: { type: 'string', default: join(import.meta.dirname, '../../internal/web/dist/assets') },
    chromium: { type: 'string', default: '/usr/bin/chromium' },
  },
});
const share = values.card || values.alike ? 1 : Number(values.share);
if (!positionals.length || !(share > 0)) {
  console.error('name at least one photograph; see the head of this file');
  process.exit(2);
}

const { assets } = values;
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

/** grouped makes a control group with what is to be written into it; undefined where this machine allows none. */
function grouped(...ways) {
  const name = `look-${process.pid}`;
  for (const [root, file, text] of ways) {
    const group = join(root, name);
    try {
      mkdirSync(group);
      if (file) writeFileSync(join(group, file), text);
      return group;
    } catch {
      if (existsSync(group)) rmdirSync(group);
    }
  }
}
const quota = String(Math.round(share * 100000));
const group = share < 1 ? grouped(['/sys/fs/cgroup/cpu', 'cpu.cfs_quota_us', quota], ['/sys/fs/cgroup', 'cpu.max', `${quota} 100000`]) : undefined;
// Version 1 counts processor time in a group of its own.
const counted = existsSync('/sys/fs/cgroup/cpuacct') ? grouped(['/sys/fs/cgroup/cpuacct']) : group ?? grouped(['/sys/fs/cgroup']);
const groups = [...new Set([group, counted])].filter(Boolean);
/** processor is the processor time that Chromium has taken, seconds. */
function processor() {
  if (!counted) return NaN;
  const old = join(counted, 'cpuacct.usage');
  return existsSync(old) ? Number(readFileSync(old)) / 1e9 : Number(/usage_usec (\d+)/.exec(readFileSync(join(counted, 'cpu.stat'), 'utf8'))[1]) / 1e6;
}
/** most is the memory that the largest of Chromium's processes has held at once, MB. */
function most() {
  if (!counted) return NaN;
  const of = (pid) => {
    try {
      return Number(/VmHWM:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))[1]) / 1000;
    } catch {
      return 0; // it ended
    }
  };
  return Math.max(...readFileSync(join(counted, 'cgroup.procs'), 'utf8').trim().split('\n').map(of));
}
const scratch = mkdtempSync(join(tmpdir(), 'look-'));
const start = join(scratch, 'chromium');
writeFileSync(start, `#!/bin/sh\n${groups.map((g) => `echo $$ > ${g}/cgroup.procs\n`).join('')}exec ${values.chromium} "$@"\n`, { mode: 0o755 });
const times = group || share >= 1 ? 1 : 1 / share;
console.log(group ? `Chromium confined to ${share} of one core by ${group}` : `not confined; times are multiplied by ${times}`);

const s = (seconds) => seconds.toFixed(2);
const browser = await chromium.launch({ executablePath: start, args: ['--no-sandbox'], timeout: 300000 });
try {
  const page = await browser.newPage();
  page.setDefaultTimeout(600000);
  await page.goto(`http://127.0.0.1:${server.address().port}/`, { timeout: 300000 });
  const began = Date.now(), before = processor();
  await page.evaluate(async (name) => {
    const w = (globalThis.checks = new Worker(`/assets/${name}`, { type: 'module' }));
    await new Promise((ready, fail) => {
      w.onmessage = (e) => (e.data.ready ? ready() : fail(new Error(e.data.blocked)));
      w.onerror = (e) => fail(new Error(e.message));
    });
    globalThis.ask = async (call, name, type, told) => {
      const whole = await (await fetch(`/${encodeURIComponent(name)}`)).blob();
      const blob = new Blob([whole], { type });
      const from = performance.now();
      const answer = await new Promise((done) => {
        w.onmessage = (e) => done(e.data);
        w.postMessage({ id: 1, call, blob, told });
      });
      if (answer.wrong) throw new Error(answer.wrong);
      return { all: performance.now() - from, decoded: answer.decoded, looked: answer.looked, answer: answer.answer };
    };
  }, worker);
  console.log(`worker started in ${s((times * (Date.now() - began)) / 1000)} s, processor ${s(processor() - before)} s`);
  await new Promise((over) => setTimeout(over, 1000 * Number(values.wait)));
  const ask = (call, photograph, told = {}, type = 'image/jpeg') => page.evaluate(([call, name, type, told]) => globalThis.ask(call, name, type, told), [call, basename(photograph), type, told]);
  for (const photograph of positionals) {
    if (values.card) await ratio(photograph, ask);
    else if (values.alike) await alike(photograph, ask);
    else await time(photograph, ask);
  }
} finally {
  await browser.close();
  server.close();
  rmSync(scratch, { recursive: true });
  for (const g of groups) await emptied(g);
}

/** emptied takes a control group away as soon as the last of Chromium's processes has ended. */
async function emptied(group) {
  for (let tries = 50; tries > 0; tries--) {
    try {
      return rmdirSync(group);
    } catch {
      await new Promise((over) => setTimeout(over, 200));
    }
  }
}

/** time looks over a photograph as its top. */
async function time(photograph, ask) {
  for (let round = 0; round < Number(values.rounds); round++) {
    const before = processor();
    const t = await ask('look', photograph, { kind: 'top', film35: 26, flash: false });
    const took = processor() - before;
    const seen = t.answer.seen;
    const [all, decoded, looked] = [t.all, t.decoded, t.looked].map((ms) => s((times * ms) / 1000));
    console.log(`${basename(photograph)}: all ${all} s, of that decoding ${decoded}, looking ${looked}; processor ${s(took)} s; card ${!!seen?.card}, subject ${!!seen?.subject?.found}; largest process ${most().toFixed(0)} MB`);
  }
}

/** ratio compares finding the card in the worker with the same outside the browser, each the middle of several. */
async function ratio(photograph, ask) {
  const took = [];
  for (let round = 0; round < 25; round++) took.push((await ask('glance', photograph, { film35: 26 })).looked);
  const later = took.slice(10).sort((a, b) => a - b); // the compiler is at work during the first
  const wasm = later[later.length >> 1];
  const told = execFileSync('go', ['run', './bench/look', 'card', photograph], { cwd: join(import.meta.dirname, '../..'), encoding: 'utf8' });
  const native = JSON.parse(told).card.ms;
  console.log(`${basename(photograph)}: finding the card takes ${wasm.toFixed(0)} ms in the worker, ${native.toFixed(0)} ms outside: ${(wasm / native).toFixed(2)} times`);
}

/**
 * alike has a photograph looked over as a frame, by way of the canvas (its type not told) and outside the browser, as
 * the server does. Each makes the colours that a JPEG doesn't keep in a way of its own, so that figures differ a little:
 * the card must be found by all or none and lie in the same place.
 */
async function alike(photograph, ask) {
  const told = { kind: 'top', film35: 26, flash: false };
  const outside = execFileSync('go', ['run', './bench/look', 'look', photograph], { cwd: join(import.meta.dirname, '../..'), encoding: 'utf8' });
  const here = JSON.parse(outside).look;
  const row = (name, looked) => {
    const { card, subject, sharpness } = looked.seen;
    const corners = card ? Math.max(0, ...card.edge.map((at, i) => Math.hypot(at.x - (here.seen.card?.edge[i].x ?? NaN), at.y - (here.seen.card?.edge[i].y ?? NaN)))) : 0;
    const same = !card === !here.seen.card && corners < 0.25;
    if (!same) process.exitCode = 1;
    console.log(
      `${basename(photograph)} ${name}: card ${card ? `found, corners ${corners.toFixed(4)} px from the server's` : 'none'}${same ? '' : ': NOT alike'}; ` +
        `subject ${subject.found ? `${subject.widthPx.toFixed(1)} px wide` : 'not told'}, blur ${sharpness.blurPx.toFixed(2)} px, ${looked.advice.map((one) => one.rule).join(' ') || 'nothing to say'}`,
    );
  };
  row('frame  ', (await ask('look', photograph, told)).answer);
  row('canvas ', (await ask('look', photograph, told, '')).answer);
  row('outside', here);
}
