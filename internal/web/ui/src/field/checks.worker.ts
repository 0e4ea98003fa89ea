/** The worker: decodes a photograph, hands its pixels to the program and answers. One thing at a time. */
import './built/wasm_exec.js';
import source from './built/checks.wasm?url';
import { intoRoom, type Room } from './pixels';

interface Door extends Omit<Room, 'memory'> {
  look: (asked: string) => string;
  glance: (asked: string) => string;
  rehearse: (asked: string) => string;
  question: (asked: string) => string;
}
interface Runtime {
  importObject: WebAssembly.Imports;
  run: (instance: WebAssembly.Instance) => Promise<void>;
}
const world = globalThis as unknown as {
  Go: new () => Runtime;
  trugDoor: Door;
  trugReady: () => void;
  onmessage: ((e: MessageEvent<Asked>) => void) | null;
  postMessage: (message: unknown) => void;
};

/** What the page asks; id tells answers apart. */
export interface Asked {
  id: number;
  call: 'look' | 'glance' | 'question';
  /** A photograph, or a frame of a preview. */
  blob?: Blob | ImageBitmap;
  told: Record<string, unknown>;
}

let memory: WebAssembly.Memory | undefined;

async function start(): Promise<void> {
  const go = new world.Go();
  const ready = new Promise<void>((done) => (world.trugReady = done));
  const { instance } = await WebAssembly.instantiateStreaming(fetch(source), go.importObject);
  memory = instance.exports.mem as WebAssembly.Memory;
  // It runs for as long as the worker does, unless it finds no memory: then it can't be asked any more.
  void go.run(instance).then(() => world.postMessage({ ended: true }));
  await ready;
}
const started = start();
started.then(
  () => world.postMessage({ ready: true }),
  (why: unknown) => world.postMessage({ blocked: String(why) }),
);

let turn: Promise<unknown> = Promise.resolve();
let called = false;
world.onmessage = (e) => {
  const asked = e.data;
  called = true;
  turn = turn.then(() => answer(asked));
};

// A browser makes fast code of what has run for a while: so often an invented photograph is looked over while nobody
// has asked for anything, for the first one to take hardly longer than those after it.
const rehearsals = 6;

async function rehearse(): Promise<void> {
  await started;
  for (let i = 0; i < rehearsals; i++) {
    await new Promise((next) => setTimeout(next, 0)); // what was asked meanwhile comes first
    if (called) return;
    world.trugDoor.rehearse('');
  }
}
rehearse().catch(() => undefined); // whoever asks is told what is wrong

async function answer(asked: Asked): Promise<void> {
  try {
    await started;
    let told: unknown = asked.told;
    let decoded = 0;
    if (asked.blob) {
      const began = performance.now();
      told = { ...asked.told, ...(await intoRoom(asked.blob, { memory: memory!, ...world.trugDoor })) };
      decoded = performance.now() - began;
    }
    const began = performance.now();
    const got = JSON.parse(world.trugDoor[asked.call](JSON.stringify(told))) as { answer?: unknown; wrong?: string };
    world.postMessage({ id: asked.id, answer: got.answer, wrong: got.wrong, decoded, looked: performance.now() - began });
  } catch (why) {
    world.postMessage({ id: asked.id, wrong: String(why) });
  }
}
