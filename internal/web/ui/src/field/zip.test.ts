import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { emptyDraft } from '../recorder/draft';
import { sha256, type PhoneRecord } from './keep';
import { crc32, fileName, fileOf, zip } from './zip';

const golden = fileURLToPath(new URL('../../../../offline/testdata/phone.zip', import.meta.url));
const at = new Date('2026-10-10T11:34:56Z');

async function record(): Promise<{ r: PhoneRecord; files: Map<string, Blob> }> {
  const files = new Map([['f1', new Blob(['the first photograph'])], ['f2', new Blob(['the second'])], ['f3', new Blob(['the second'])]]);
  const id = '01999999-0000-7000-8000-000000000002';
  const originals = await Promise.all(
    [['f1', 'top', 'IMG_2041.JPG'], ['f2', 'side', 'ohne Endung']].map(async ([f, kind, name]) => ({
      id: f!, hash: await sha256(files.get(f!)!), kind: kind as 'top', name: name!, size: 1, upload: '', arrived: false,
    })),
  );
  const draft = { ...emptyDraft(id, { date: '2026-10-10', time: '11:34' }), remarks: 'unter der Eiche, „groß“' };
  return { r: { id, person: 'p', personName: 'Wren', season: 'S26', phone: '01999999-0000-7000-8000-000000000001', number: 1, made: at.toISOString(), draft, originals, state: 'waits', says: '' }, files };
}

// The server reads the same bytes in internal/offline: TestAFileOfTheApp. WRITE_GOLDEN=1 writes them anew.
test('the file that the server reads is the one that is written here', async () => {
  const { r, files } = await record();
  const bytes = new Uint8Array(await (await fileOf([r], async (_, id) => files.get(id), at)).arrayBuffer());
  if (process.env.WRITE_GOLDEN) writeFileSync(golden, bytes);
  expect(Buffer.from(bytes).equals(readFileSync(golden))).toBe(true);
});

test('the sum is that of the standard', () => {
  // The check value of CRC-32/ISO-HDLC, https://reveng.sourceforge.io/crc-catalogue/all.htm
  expect(crc32(new TextEncoder().encode('123456789'))).toBe(0xcbf43926);
});

test('a photograph of two records lies in the file once, and one that is gone is left out', async () => {
  const { r, files } = await record();
  files.delete('f1');
  const twice = { ...r, id: '01999999-0000-7000-8000-000000000003', number: 2 };
  const text = await (await fileOf([r, twice], async (_, id) => files.get(id), at)).text();
  expect(text.match(/photographs\//g)?.length).toBe(2); // before its bytes, and in the list
  expect(text.match(/"number":/g)?.length).toBe(2);
});

test('nothing but season and day is in its name', () => expect(fileName('S/26 ä', at)).toBe('trug-S26-2026-10-10.zip'));

test('an empty zip is a zip', async () => expect((await zip([], at)).size).toBe(22));
