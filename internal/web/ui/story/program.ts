/** Starting and ending the program, as somebody at a terminal does. */
import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The program under test; TRUG names another. */
export const trug = process.env.TRUG ?? fileURLToPath(new URL('../../../../bin/trug', import.meta.url));

/** A program that serves. */
export interface Serving {
  /** Address without a slash at the end. */
  address: string;
  /** The links it printed, by what stands before them: "coordinator", "the public page", "" for the set-up link. */
  links: Map<string, string>;
  /** Everything it said. */
  said: () => string;
  /** Milliseconds from its start to the first page. */
  firstPage: number;
  /** Number of the process. */
  pid: number;
  /** Ends it as Ctrl-C does; fails when it does not end well. */
  stop: () => Promise<void>;
}

/** freePort is one on which nothing listens now. */
export const freePort = (): Promise<number> =>
  new Promise((done) => {
    const s = createServer();
    s.listen(0, '127.0.0.1', () => {
      const at = s.address();
      s.close(() => done(typeof at === 'object' && at ? at.port : 0));
    });
  });

/** A folder for the data of one test. */
export function freshFolder(name: string): { path: string; remove: () => void } {
  const path = mkdtempSync(join(tmpdir(), `trug-${name}-`));
  return { path, remove: () => rmSync(path, { recursive: true, force: true, maxRetries: 5 }) };
}

/** serve starts `trug demo` or `trug serve`, on a free port unless one is named, and waits until a page comes. */
export async function serve(command: 'demo' | 'serve', data: string, how: { port?: string; today?: string; more?: string[] } = {}): Promise<Serving> {
  const began = performance.now();
  const today = how.today ? ['--today', how.today] : [];
  const child = spawn(trug, [command, '--data', data, '--listen', `127.0.0.1:${how.port ?? 0}`, ...today, ...(how.more ?? [])], { stdio: ['ignore', 'pipe', 'pipe'] });
  // Whatever becomes of the test, no program is left behind.
  const end = () => child.kill('SIGKILL');
  process.once('exit', end);
  child.once('exit', () => process.removeListener('exit', end));
  let said = '';
  child.stdout.on('data', (bytes: Buffer) => (said += bytes.toString()));
  child.stderr.on('data', (bytes: Buffer) => (said += bytes.toString()));
  const links = await printed(child, () => said);
  const address = new URL([...links.values()][0]!).origin;
  await answers(`${address}/`, child, () => said);
  return { address, links, pid: child.pid ?? 0, said: () => said, firstPage: performance.now() - began, stop: () => stop(child, () => said) };
}

/** printed waits for the links; the line that names them comes before the server listens. */
async function printed(child: ChildProcess, said: () => string): Promise<Map<string, string>> {
  for (;;) {
    const links = new Map<string, string>();
    for (const [, before, link] of said().matchAll(/^ *([^\n]*?):? *(https?:\/\/127\.0\.0\.1:\d+\/\S*)(?=[^\n]*\n)/gm)) {
      links.set((before ?? '').replace(/ \(.*\)$/, '').trim(), link!);
    }
    if (/Ctrl-C|Set one up at\n.*\n/.test(said()) && links.size > 0) return links;
    await alive(child, said);
  }
}

async function answers(url: string, child: ChildProcess, said: () => string): Promise<void> {
  for (;;) {
    const status = await fetch(url).then((a) => a.status, () => 0);
    if (status === 200) return;
    await alive(child, said);
  }
}

/** alive lets some time pass, and fails when the program has ended. */
async function alive(child: ChildProcess, said: () => string): Promise<void> {
  if (child.exitCode !== null) throw new Error(`the program ended (${child.exitCode}):\n${said()}`);
  await new Promise((done) => setTimeout(done, 20));
}

async function stop(child: ChildProcess, said: () => string): Promise<void> {
  if (child.exitCode !== null) throw new Error(`the program had ended by itself (${child.exitCode}):\n${said()}`);
  const ended = new Promise<number | null>((done) => child.once('exit', done));
  child.kill('SIGINT');
  const code = await ended;
  if (code !== 0) throw new Error(`after Ctrl-C the program ended with ${code}:\n${said()}`);
  const wrong = complaints(said());
  if (wrong.length > 0) throw new Error(`the program complained:\n${wrong.join('\n')}`);
}

/** complaints picks from what the program said what it logged as wrong; that a browser went away amid an answer is nobody's fault. */
export function complaints(said: string): string[] {
  return said.split('\n').filter((line) => /level=(WARN|ERROR)|panic|goroutine/.test(line));
}

/** run calls the program and returns what it printed; it fails when the program does. */
export function run(...args: string[]): string {
  const done = spawnSync(trug, args, { encoding: 'utf8', maxBuffer: 256 << 20 });
  if (done.status !== 0) throw new Error(`trug ${args.join(' ')} ended with ${done.status}:\n${done.stderr}`);
  return done.stdout;
}
