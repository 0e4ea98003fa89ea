/** Records as a file: a zip (ISO/IEC 21320-1, nothing packed) that the server's `trug intake` reads. The format is in docs/formats.md. */
import type { PhoneRecord } from './keep';
import { messageOf } from './sender';

/** One thing in the zip. */
export interface Entry {
  name: string;
  bytes: Blob;
}

const table = Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k++) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
  return c >>> 0;
});

/** crc32 is the sum of a zip's entry (ITU-T V.42, as APPNOTE 4.4.7 has it). */
export function crc32(bytes: Uint8Array): number {
  let c = 0xffffffff;
  for (const b of bytes) c = table[(c ^ b) & 255]! ^ (c >>> 8);
  return (c ^ 0xffffffff) >>> 0;
}

/** What a zip without the extension for large files can hold. */
const most = 0xffffffff;

/** TooMuch says that the file would be too large. */
export class TooMuch extends Error {}

function head(mark: number, fields: readonly [size: 2 | 4, value: number][]): Uint8Array<ArrayBuffer> {
  const out = new DataView(new ArrayBuffer(4 + fields.reduce((n, [size]) => n + size, 0)));
  out.setUint32(0, mark, true);
  let at = 4;
  for (const [size, value] of fields) {
    if (size === 2) out.setUint16(at, value, true);
    else out.setUint32(at, value, true);
    at += size;
  }
  return new Uint8Array(out.buffer);
}

/** zip puts entries together; of the bytes only one entry's at a time are in memory. */
export async function zip(entries: readonly Entry[], at: Date): Promise<Blob> {
  const time = (at.getUTCHours() << 11) | (at.getUTCMinutes() << 5) | (at.getUTCSeconds() >> 1);
  const day = ((Math.max(1980, at.getUTCFullYear()) - 1980) << 9) | ((at.getUTCMonth() + 1) << 5) | at.getUTCDate();
  const parts: BlobPart[] = [];
  const list: BlobPart[] = [];
  let offset = 0;
  let listed = 0;
  for (const e of entries) {
    const name = new TextEncoder().encode(e.name) as Uint8Array<ArrayBuffer>;
    const sum = crc32(new Uint8Array(await e.bytes.arrayBuffer()));
    // Version 2.0, names in UTF-8, stored as it is.
    const both: [2 | 4, number][] = [[2, 20], [2, 0x800], [2, 0], [2, time], [2, day], [4, sum], [4, e.bytes.size], [4, e.bytes.size], [2, name.length], [2, 0]];
    const local = head(0x04034b50, both);
    const central = head(0x02014b50, [[2, 20], ...both, [2, 0], [2, 0], [2, 0], [4, 0], [4, offset]]);
    parts.push(local, name, e.bytes);
    list.push(central, name);
    offset += local.length + name.length + e.bytes.size;
    listed += central.length + name.length;
    if (offset + listed > most) throw new TooMuch('more than 4 GB');
  }
  const end = head(0x06054b50, [[2, 0], [2, 0], [2, entries.length], [2, entries.length], [4, listed], [4, offset], [2, 0]]);
  return new Blob([...parts, ...list, end], { type: 'application/zip' });
}

/** extension is that of a file's name, or jpg. */
function extension(name: string): string {
  return /\.([a-z0-9]{1,5})$/i.exec(name)?.[1]?.toLowerCase() ?? 'jpg';
}

/** fileOf writes records with their photographs as one file. What is no longer on the phone is left out; the server says then which is missing. */
export async function fileOf(records: readonly PhoneRecord[], bytes: (record: string, id: string) => Promise<Blob | undefined>, at: Date): Promise<Blob> {
  const entries: Entry[] = [];
  const seen = new Set<string>();
  for (const r of records) {
    for (const o of r.originals) {
      const kept = seen.has(o.hash) ? undefined : await bytes(r.id, o.id);
      if (!kept) continue;
      seen.add(o.hash);
      entries.push({ name: `photographs/${o.hash}.${extension(o.name)}`, bytes: kept });
    }
  }
  const told = { format: 'trug records 1', season: records[0]?.season ?? '', recorder: records[0]?.personName ?? '', messages: records.map((r) => messageOf(r, at)) };
  return zip([{ name: 'records.json', bytes: new Blob([JSON.stringify(told)]) }, ...entries], at);
}

/** fileName names the file by season and day: no place, no person. */
export function fileName(season: string, at: Date): string {
  return `trug-${season.replace(/[^\w-]/g, '')}-${at.toISOString().slice(0, 10)}.zip`;
}
