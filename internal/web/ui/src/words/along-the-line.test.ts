import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';

const src = fileURLToPath(new URL('..', import.meta.url));

function stylesOf(path: string): string[] {
  if (statSync(path).isDirectory()) return readdirSync(path).flatMap((name) => stylesOf(join(path, name)));
  return /\.(svelte|css)$/.test(path) ? [path] : [];
}

/** What lies over a picture or map lies by its pixels, whichever way the words run. */
const byPixels = /(ColourDrawn|MeasureDrawn|KeptLines|Loupe|CropView|Ground|LargeStage|LiveView|Large)\.svelte$/;

it('what recorders see is laid out along the line, so that it holds from right to left', () => {
  const faults: string[] = [];
  for (const path of ['recorder', 'field', 'entry', 'words', 'parts', 'style', 'App.svelte', 'desk/Field.svelte'].flatMap((p) => stylesOf(join(src, p)))) {
    if (byPixels.test(path)) continue;
    const text = readFileSync(path, 'utf8');
    const style = path.endsWith('.css') ? text : (/<style>(.*?)<\/style>/s.exec(text)?.[1] ?? '');
    for (const found of style.matchAll(/(?:margin|padding|border)-(?:left|right)\b|text-align: (?:left|right)\b|float:|(?<=[;{\s])(?:left|right): /g)) faults.push(`${path.slice(src.length)}: ${found[0]}`);
  }
  expect(faults).toEqual([]);
});
