import { createHash } from 'node:crypto';
import { expect, test } from 'vitest';
import { digest, digestHere } from './sha256';

const hex = (b: Uint8Array) => Buffer.from(b).toString('hex');

// FIPS 180-4's examples (csrc.nist.gov, Cryptographic Standards and Guidelines, example values).
test.each([
  ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
  ['abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq', '248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1'],
  ['', 'e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855'],
])('of %j as the standard has it', (text, want) => {
  expect(hex(digestHere(new TextEncoder().encode(text)))).toBe(want);
});

test('of every length round a block, and of a part of a buffer, as Node reckons it', async () => {
  const all = new Uint8Array(700).map((_, i) => (i * 131 + 7) & 255);
  for (let n = 0; n <= 300; n++) {
    const part = all.subarray(n % 7, (n % 7) + n);
    expect(hex(digestHere(part)), String(n)).toBe(createHash('sha256').update(part).digest('hex'));
  }
  expect(hex(await digest(all.slice().buffer))).toBe(createHash('sha256').update(all).digest('hex'));
});
