/** SHA-256 (FIPS 180-4) by the browser, or here where it withholds it: over plain HTTP. */

// The first 32 bits of the fractional parts of the cube roots of the first 64 primes, and of the square roots of the first eight.
const primes = ((): number[] => {
  const out: number[] = [];
  for (let n = 2; out.length < 64; n++) if (out.every((p) => n % p !== 0)) out.push(n);
  return out;
})();
const fraction = (x: number) => ((x - Math.floor(x)) * 2 ** 32) | 0;
const k = Int32Array.from(primes, (p) => fraction(Math.cbrt(p)));
const begin = Int32Array.from(primes.slice(0, 8), (p) => fraction(Math.sqrt(p)));

/** digest returns the 32 bytes of a file's SHA-256. */
export async function digest(bytes: ArrayBuffer): Promise<Uint8Array> {
  if (globalThis.crypto?.subtle) return new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  return digestHere(new Uint8Array(bytes));
}

/** digestHere reckons it without the browser's help. */
export function digestHere(bytes: Uint8Array): Uint8Array {
  const blocks = Math.ceil((bytes.length + 9) / 64);
  const tail = new Uint8Array(128);
  // The last block or two hold the end of the message, a 1, zeros and the length in bits.
  const whole = bytes.length >> 6;
  tail.set(bytes.subarray(64 * whole));
  tail[bytes.length - 64 * whole] = 0x80;
  const end = 64 * (blocks - whole);
  const view = new DataView(tail.buffer);
  view.setUint32(end - 8, Math.floor(bytes.length / 2 ** 29));
  view.setUint32(end - 4, (bytes.length << 3) >>> 0);
  const h = Int32Array.from(begin);
  const w = new Int32Array(64);
  const body = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  for (let b = 0; b < blocks; b++) {
    const [from, at] = b < whole ? [body, 64 * b] : [view, 64 * (b - whole)];
    for (let i = 0; i < 16; i++) w[i] = from.getInt32(at + 4 * i);
    block(h, w);
  }
  const out = new Uint8Array(32);
  h.forEach((x, i) => new DataView(out.buffer).setInt32(4 * i, x));
  return out;
}

const turn = (x: number, n: number) => (x >>> n) | (x << (32 - n));

function block(h: Int32Array, w: Int32Array): void {
  for (let i = 16; i < 64; i++) {
    const x = w[i - 15]!, y = w[i - 2]!;
    w[i] = w[i - 16]! + (turn(x, 7) ^ turn(x, 18) ^ (x >>> 3)) + w[i - 7]! + (turn(y, 17) ^ turn(y, 19) ^ (y >>> 10));
  }
  let [a, b, c, d, e, f, g, z] = h as unknown as [number, number, number, number, number, number, number, number];
  for (let i = 0; i < 64; i++) {
    const one = (z + (turn(e, 6) ^ turn(e, 11) ^ turn(e, 25)) + ((e & f) ^ (~e & g)) + k[i]! + w[i]!) | 0;
    const two = ((turn(a, 2) ^ turn(a, 13) ^ turn(a, 22)) + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    [z, g, f, e, d, c, b, a] = [g, f, e, (d + one) | 0, c, b, a, (one + two) | 0];
  }
  [a, b, c, d, e, f, g, z].forEach((x, i) => (h[i] = h[i]! + x));
}
