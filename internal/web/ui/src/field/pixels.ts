/**
 * Pixels of a photograph for the program that looks it over, upright and in sRGB, written straight into its memory.
 * Where the browser decodes into frames (WebCodecs), the frame is copied as it is; elsewhere it is drawn on a canvas, a
 * strip at a time, which takes twice the time. No second copy of a photograph is ever held.
 */

/** Where pixels go: room tells where so many bytes lie, turn lays rows that lie in the strip's room upright there. */
export interface Room {
  memory: WebAssembly.Memory;
  room: (bytes: number) => number;
  strip: (bytes: number) => number;
  turn: (top: number, rows: number, width: number, height: number, quarters: number) => void;
}

export interface Size {
  width: number;
  height: number;
}

/** What is used of a decoded frame; rotation is by what it is to be turned clockwise, after which flip mirrors it. */
interface Frame {
  codedWidth: number;
  codedHeight: number;
  rotation?: number;
  flip?: boolean;
  colorSpace: { primaries: string | null };
  copyTo: (into: Uint8Array, how: { readonly format: string; rect?: { x: number; y: number; width: number; height: number } }) => Promise<unknown>;
  close: () => void;
}
interface Decoder {
  decode: () => Promise<{ image: Frame }>;
  close: () => void;
}
const world = globalThis as unknown as { ImageDecoder?: new (of: { data: ArrayBuffer; type: string }) => Decoder };

// More pixels tell nothing more, and a phone has no memory for them.
const mostPixels = 12_600_000;
const stripRows = 64;
const canvasRows = 256;

/** intoRoom writes the pixels of a photograph, or of a frame of a preview, and tells its size. */
export async function intoRoom(blob: Blob | ImageBitmap, to: Room): Promise<Size> {
  if (blob instanceof ImageBitmap) return drawn(blob, to);
  return (await copied(blob, to)) ?? drawn(await createImageBitmap(blob), to);
}

/** copied copies a decoded frame; null where this browser, or this photograph, wants the canvas. */
async function copied(blob: Blob, to: Room): Promise<Size | null> {
  if (!world.ImageDecoder || blob.type !== 'image/jpeg') return null;
  let decoder: Decoder | undefined;
  let frame: Frame | undefined;
  try {
    decoder = new world.ImageDecoder({ data: await blob.arrayBuffer(), type: blob.type });
    frame = (await decoder.decode()).image;
    const { codedWidth: w, codedHeight: h, rotation, flip } = frame;
    // An older browser doesn't say how the phone was held; some profiles are left to the canvas.
    if (rotation === undefined || flip || frame.colorSpace.primaries !== 'bt709' || w * h > mostPixels) return null;
    if (rotation === 0) return (await rows(frame, place(to.memory, to.room(4 * w * h), 4 * w * h), 0, h)) ? { width: w, height: h } : null;
    place(to.memory, to.room(4 * w * h), 0);
    const strip = 4 * w * Math.min(stripRows, h);
    for (let top = 0; top < h; top += stripRows) {
      const n = Math.min(stripRows, h - top);
      if (!(await rows(frame, place(to.memory, to.strip(strip), strip), top, n))) return null;
      to.turn(top, n, w, h, rotation / 90);
    }
    return rotation === 180 ? { width: w, height: h } : { width: h, height: w };
  } catch (why) {
    if (why instanceof NoRoom) throw why;
    return null; // no photograph, or no frame of it: the canvas tells which
  } finally {
    frame?.close();
    decoder?.close();
  }
}

/** rows copies rows of a frame; false where the browser doesn't know in which order to write colours. */
async function rows(frame: Frame, into: Uint8Array, top: number, n: number): Promise<boolean> {
  let understood = false;
  await frame.copyTo(into, {
    // A browser that knows of formats asks for this one.
    get format() {
      understood = true;
      return 'RGBX';
    },
    rect: { x: 0, y: top, width: frame.codedWidth, height: n },
  });
  return understood;
}

class NoRoom extends Error {}

/** place is a part of the program's memory, as it lies now: it moves when the program asks for more. */
function place(memory: WebAssembly.Memory, at: number, bytes: number): Uint8Array {
  if (at < 0) throw new NoRoom('no room for the picture');
  return new Uint8Array(memory.buffer, at, bytes);
}

/** drawn draws a picture, scaled down where it is too large, and closes it. */
async function drawn(picture: ImageBitmap, to: Room): Promise<Size> {
  const scale = Math.sqrt(mostPixels / (picture.width * picture.height));
  if (scale < 1) {
    const whole = picture;
    picture = await createImageBitmap(whole, { resizeWidth: Math.floor(whole.width * scale), resizeHeight: Math.floor(whole.height * scale), resizeQuality: 'medium' });
    whole.close();
  }
  const { width, height } = picture;
  const all = place(to.memory, to.room(4 * width * height), 4 * width * height);
  const on = new OffscreenCanvas(width, Math.min(canvasRows, height)).getContext('2d', { willReadFrequently: true });
  if (!on) throw new Error('no canvas');
  for (let top = 0; top < height; top += canvasRows) {
    const n = Math.min(canvasRows, height - top);
    on.drawImage(picture, 0, top, width, n, 0, 0, width, n);
    all.set(on.getImageData(0, 0, width, n).data, 4 * width * top);
  }
  picture.close();
  return { width, height };
}
