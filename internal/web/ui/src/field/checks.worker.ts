/** The worker: decodes a photograph, hands its pixels to the program and answers. One thing at a time. */
import './built/wasm_exec.js';
import source from './built/checks.wasm?url';

interface Door {
  room: (bytes: number) => number;
  look: (asked: string) => string;
  glance: (asked: string) => string;
  question: (asked: string) => string;
  describe: (asked: string) => string;
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
  call: 'look' | 'glance' | 'question' | 'describe';
  /** A photograph, or a frame of a preview. */
  blob?: Blob | ImageBitmap;
  told: Record<string, unknown> | unknown[];
}

let memory: WebAssembly.Memory | undefined;

async function start(): Promise<void> {
  const go = new world.Go();
  const ready = new Promise<void>((done) => (world.trugReady = done));
  const { instance } = await WebAssembly.instantiateStreaming(fetch(source), go.importObject);
  memory = instance.exports.mem as WebAssembly.Memory;
  void go.run(instance);
  await ready;
}
const started = start();
started.then(
  () => world.postMessage({ ready: true }),
  (why: unknown) => world.postMessage({ blocked: String(why) }),
);

// More pixels tell nothing more, and a phone has no memory for them.
const mostPixels = 12_600_000;
const rows = 256;

/** decode writes a photograph's pixels into the program's memory, a strip at a time: no second copy of it is ever held. */
async function decode(blob: Blob | ImageBitmap): Promise<{ width: number; height: number; scale: number; ms: number }> {
  const began = performance.now();
  let picture = blob instanceof ImageBitmap ? blob : await createImageBitmap(blob);
  const scale = Math.min(1, Math.sqrt(mostPixels / (picture.width * picture.height)));
  if (scale < 1) {
    const whole = picture;
    picture = await createImageBitmap(whole, { resizeWidth: Math.floor(whole.width * scale), resizeHeight: Math.floor(whole.height * scale), resizeQuality: 'medium' });
    whole.close();
  }
  const { width, height } = picture;
  const at = world.trugDoor.room(4 * width * height);
  if (at < 0 || !memory) throw new Error('no room for the picture');
  const canvas = new OffscreenCanvas(width, Math.min(rows, height));
  const on = canvas.getContext('2d', { willReadFrequently: true });
  if (!on) throw new Error('no canvas');
  for (let top = 0; top < height; top += rows) {
    const n = Math.min(rows, height - top);
    on.drawImage(picture, 0, top, width, n, 0, 0, width, n);
    new Uint8Array(memory.buffer, at + 4 * width * top, 4 * width * n).set(on.getImageData(0, 0, width, n).data);
  }
  picture.close();
  return { width, height, scale, ms: performance.now() - began };
}

let turn: Promise<unknown> = Promise.resolve();
world.onmessage = (e) => {
  const asked = e.data;
  turn = turn.then(() => answer(asked));
};

async function answer(asked: Asked): Promise<void> {
  try {
    await started;
    let told: unknown = asked.told;
    let decoded = 0;
    if (asked.blob) {
      const { width, height, ms } = await decode(asked.blob);
      decoded = ms;
      told = { ...asked.told, width, height };
    }
    const began = performance.now();
    const got = JSON.parse(world.trugDoor[asked.call](JSON.stringify(told))) as { answer?: unknown; wrong?: string };
    world.postMessage({ id: asked.id, answer: got.answer, wrong: got.wrong, decoded, looked: performance.now() - began });
  } catch (why) {
    world.postMessage({ id: asked.id, wrong: String(why) });
  }
}
