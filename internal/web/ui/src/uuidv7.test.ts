import { describe, expect, it } from 'vitest';
import { uuidv7 } from './uuidv7';

describe('uuidv7', () => {
  it('gives the example of RFC 9562, appendix A.6', () => {
    // Unix time 0x017F22E279B0, rand_a 0xCC3, rand_b 0x18C4DC0C0C07398F.
    const random = new Uint8Array([0x0c, 0xc3, 0x18, 0xc4, 0xdc, 0x0c, 0x0c, 0x07, 0x39, 0x8f]);
    expect(uuidv7(0x017f22e279b0, random)).toBe('017f22e2-79b0-7cc3-98c4-dc0c0c07398f');
  });
  it('sorts by the time of making and never repeats', () => {
    const made = Array.from({ length: 200 }, (_, i) => uuidv7(1_700_000_000_000 + i));
    expect([...made].sort()).toEqual(made);
    expect(new Set(Array.from({ length: 500 }, () => uuidv7(1))).size).toBe(500);
    for (const id of made) expect(id).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
  });
});
