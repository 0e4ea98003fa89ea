import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';

const file = (name: string) => readFileSync(new URL(`../public/${name}`, import.meta.url));

/** size reads width and height from a PNG's IHDR chunk, which comes first (PNG, third edition, 11.2.1). */
function size(png: Buffer): string {
  expect(png.subarray(1, 4).toString()).toBe('PNG');
  return `${png.readUInt32BE(16)}x${png.readUInt32BE(20)}`;
}

test('every icon of the manifest is there in the size that it tells, one of them to be cut to any shape', () => {
  const { icons } = JSON.parse(file('manifest.webmanifest').toString()) as { icons: { src: string; sizes: string; type: string; purpose: string }[] };
  for (const i of icons.filter((x) => x.type === 'image/png')) expect(size(file(i.src.slice(1))), i.src).toBe(i.sizes);
  expect(icons.filter((i) => i.type === 'image/png').map((i) => `${i.purpose} ${i.sizes}`)).toEqual(['any 192x192', 'any 512x512', 'maskable 512x512']);
});

test('the page names an icon for home screens that read no manifest', () => {
  const page = readFileSync(new URL('../index.html', import.meta.url), 'utf8');
  expect(page).toContain('<link rel="apple-touch-icon" href="/apple-touch-icon.png" />');
  expect(page.match(/theme-color/g)?.length).toBe(2);
  expect(size(file('apple-touch-icon.png'))).toBe('180x180');
});
