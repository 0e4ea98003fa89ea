import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { lensIn, lensOf } from './lens';

const file = (name: string) => readFileSync(new URL(`../../../../../science/photo/testdata/camera-files/${name}`, import.meta.url));
const view = (b: Buffer) => new DataView(b.buffer, b.byteOffset, b.byteLength);

// What exiftool 12.76 says: -n -FocalLengthIn35mmFormat -Flash.
test.each([
  ['DSCN0010.jpg', { film35: 112 }],
  ['DSCN0042.jpg', { film35: 70 }],
  ['iphone_hdr_NO.jpg', { film35: 57 }],
  ['jolla.jpg', {}],
  ['canon-ixus.jpg', {}],
  ['nikon-e950.jpg', {}],
])('%s tells the lens that exiftool reads', (name, want) => {
  expect(lensIn(view(file(name)))).toEqual(want);
});

/** flashed sets or clears the bit of a flash in the first IFD entry of tag 0x9209. */
function withTag(b: Buffer, tag: number, value: number): Buffer {
  const out = Buffer.from(b);
  for (const [order, read, write] of [['LE', 'readUInt16LE', 'writeUInt16LE'], ['BE', 'readUInt16BE', 'writeUInt16BE']] as const) {
    for (let at = 0; at + 12 < 8000; at++) {
      if (out[read](at) === tag && out[read](at + 2) === 3 && (order === 'LE' ? out.readUInt32LE(at + 4) : out.readUInt32BE(at + 4)) === 1) {
        out[write](value, at + 8);
        return out;
      }
    }
  }
  throw new Error(`no tag ${tag}`);
}

test('a flash that fired is told, and a photograph of another shape than was taken tells no focal length', () => {
  const photograph = file('DSCN0010.jpg');
  expect(lensIn(view(withTag(photograph, 0x9209, 25)))).toEqual({ film35: 112, flash: true });
  expect(lensIn(view(withTag(photograph, 0xa405, 0)))).toEqual({});
  const frame = photograph.lastIndexOf(Buffer.from([0xff, 0xc0, 0x00, 0x11]));
  const narrow = Buffer.from(photograph);
  narrow.writeUInt16BE(200, frame + 7);
  expect(lensIn(view(narrow))).toEqual({});
});

test('no head of a file stops it, however it is cut or damaged', async () => {
  const photograph = file('DSCN0042.jpg').subarray(0, 20_000);
  let seed = 1;
  const random = (n: number) => (seed = (seed * 48271) % 2147483647) % n;
  for (let turn = 0; turn < 2000; turn++) {
    const bad = Buffer.from(photograph.subarray(0, random(photograph.length)));
    for (let i = 0; i < 8 && bad.length > 0; i++) bad[random(Math.min(bad.length, 800))] = random(256);
    const got = lensIn(view(bad));
    expect(Object.keys(got).every((k) => k === 'film35' || k === 'flash')).toBe(true);
  }
  expect(await lensOf(new Blob([]))).toEqual({});
  expect(await lensOf(new Blob([photograph]))).toEqual({ film35: 70 });
});
