import { expect, test } from 'vitest';
import { bytesOf, textOf } from './passkey';

test('base64url there and back, after RFC 4648, section 10', () => {
  for (const [plain, text] of [['', ''], ['f', 'Zg'], ['fo', 'Zm8'], ['foo', 'Zm9v'], ['foob', 'Zm9vYg'], ['fooba', 'Zm9vYmE'], ['foobar', 'Zm9vYmFy']] as const) {
    const bytes = new TextEncoder().encode(plain);
    expect(textOf(bytes.buffer as ArrayBuffer)).toBe(text);
    expect([...bytesOf(text)]).toEqual([...bytes]);
  }
  expect([...bytesOf('-_8')]).toEqual([251, 255]);
});
