/**
 * What the head of a photograph says of the lens: the focal length as on 35 mm film, and whether a flash fired. It is
 * EXIF as CIPA DC-008 has it, in JPEG, which is what browsers decode everywhere. What can't be read is not known; a
 * photograph that was cropped tells no focal length, as science/photo has it too.
 */
import type { Facts } from './checks';

// A maker's thumbnail and notes fit into this much.
const headBytes = 256 * 1024;

/** Shapes that cameras take, as in science/photo. */
const shapes = [1, 1.25, 4 / 3, 1.4, 1.5, 1.6, 16 / 9, 2, 18.5 / 9, 19 / 9, 19.5 / 9, 20 / 9, 21 / 9];

/** lensOf reads the head of a file. */
export async function lensOf(blob: Blob): Promise<Facts> {
  try {
    return lensIn(new DataView(await blob.slice(0, headBytes).arrayBuffer()));
  } catch {
    return {}; // a file that can't be read is said to be so by whoever decodes it
  }
}

/** lensIn reads the head of a JPEG: nothing where it is none, or says nothing. */
export function lensIn(d: DataView): Facts {
  if (d.byteLength < 4 || d.getUint16(0) !== 0xffd8) return {};
  let tags: Map<number, number> | null = null;
  let size: [number, number] | null = null;
  for (let at = 2; at + 4 <= d.byteLength; ) {
    if (d.getUint8(at) !== 0xff) break;
    const marker = d.getUint8(at + 1);
    const long = d.getUint16(at + 2);
    if (marker === 0xda || long < 2) break;
    if (marker === 0xe1 && at + 10 <= d.byteLength && d.getUint32(at + 4) === 0x45786966) tags ??= exif(d, at + 10, Math.min(at + 2 + long, d.byteLength));
    // The frame's head: every SOF but DHT, JPG and DAC, which share the numbers.
    const frame = marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc;
    if (frame && at + 9 <= d.byteLength) {
      size = [d.getUint16(at + 7), d.getUint16(at + 5)];
      break;
    }
    at += 2 + long;
  }
  if (!tags) return {};
  const film35 = tags.get(0xa405) ?? 0;
  const flash = ((tags.get(0x9209) ?? 0) & 1) === 1;
  const whole = film35 > 0 && size !== null && !cropped(size, [tags.get(0xa002) ?? 0, tags.get(0xa003) ?? 0]);
  return { ...(whole ? { film35 } : {}), ...(flash ? { flash } : {}) };
}

/** cropped tells that the picture has another shape than the one that was taken. */
function cropped([w, h]: [number, number], [takenW, takenH]: [number, number]): boolean {
  const [long, short] = [Math.max(w, h), Math.max(Math.min(w, h), 1)];
  const near = (shape: number) => Math.abs(long / short / shape - 1) < 0.012 + 1 / short;
  if (takenW > 0 && takenH > 0) return !near(Math.max(takenW, takenH) / Math.min(takenW, takenH));
  return !shapes.some(near);
}

/** exif reads the numbers of the tags that matter, from a TIFF that lies between two offsets. */
function exif(d: DataView, from: number, to: number): Map<number, number> {
  const out = new Map<number, number>();
  const order = from + 8 <= to ? d.getUint16(from) : 0;
  if (order !== 0x4949 && order !== 0x4d4d) return out;
  const little = order === 0x4949;
  const directory = (offset: number): Map<number, number> => {
    const tags = new Map<number, number>();
    const at = from + offset;
    if (offset < 8 || at + 2 > to) return tags;
    const n = d.getUint16(at, little);
    for (let i = 0, e = at + 2; i < n && e + 12 <= to; i++, e += 12) {
      const type = d.getUint16(e + 2, little);
      if (type === 3) tags.set(d.getUint16(e, little), d.getUint16(e + 8, little));
      if (type === 4) tags.set(d.getUint16(e, little), d.getUint32(e + 8, little));
    }
    return tags;
  };
  const first = directory(d.getUint32(from + 4, little));
  for (const [tag, value] of directory(first.get(0x8769) ?? 0)) out.set(tag, value);
  return out;
}
