import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';

const src = fileURLToPath(new URL('..', import.meta.url));
const pages = (path: string): string[] => {
  if (statSync(path).isDirectory()) return readdirSync(path).flatMap((name) => pages(join(path, name)));
  return path.endsWith('.svelte') ? [path] : [];
};

// A space at the beginning or end of an element falls away when the page is built: it has to stand outside as {' '}.
it('words on both sides of an element stay apart', () => {
  const faults: string[] = [];
  for (const path of pages(src)) {
    const markup = readFileSync(path, 'utf8').replace(/<(script|style)\b.*?<\/\1>/gs, '');
    for (const found of markup.matchAll(/\S <\/(?:span|b|em|strong|i)>\S|[^\s>]<(?:span|b|em|strong|i)(?: class="[^"]*")?> \S/g)) faults.push(`${path.slice(src.length)}: ${found[0]}`);
  }
  expect(faults).toEqual([]);
});
