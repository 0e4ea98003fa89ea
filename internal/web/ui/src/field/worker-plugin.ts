/** Writes sw.js: the service worker with the names of the files that a recorder's phone needs. */
import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Plugin, Rollup } from 'vite';

/** Which pages a phone opens out of reach: those of the recorder, of coming in, and of the field; and in which languages. */
const taken = /\/src\/((recorder|field|entry)\/[\w-]+\.svelte|words\/(de|fr)(\/index)?\.ts)$/;

/** phoneFiles lists the files of the bundle that those pages load, and the page itself. */
export function phoneFiles(bundle: Rollup.OutputBundle): string[] {
  const chunks = Object.values(bundle).filter((c): c is Rollup.OutputChunk => c.type === 'chunk');
  const byName = new Map(chunks.map((c) => [c.fileName, c]));
  const out = new Set<string>();
  const add = (name: string): void => {
    const chunk = byName.get(name);
    if (!chunk || out.has(`/${name}`)) return;
    out.add(`/${name}`);
    for (const css of chunk.viteMetadata?.importedCss ?? []) out.add(`/${css}`);
    for (const asset of chunk.viteMetadata?.importedAssets ?? []) out.add(`/${asset}`);
    chunk.imports.forEach(add);
  };
  for (const c of chunks) if (c.isEntry || (c.facadeModuleId && taken.test(c.facadeModuleId))) add(c.fileName);
  for (const chunk of chunks) if (/drawings/.test(chunk.name)) add(chunk.fileName);
  for (const name of Object.keys(bundle)) if (/\.woff2$/.test(name) && /(400-normal|500-normal|400-italic)/.test(name)) out.add(`/${name}`);
  return ['/', '/trug.svg', '/icon-192.png', '/apple-touch-icon.png', '/manifest.webmanifest', ...[...out].sort()];
}

export function fieldWorker(): Plugin {
  return {
    name: 'field-worker',
    apply: 'build',
    enforce: 'post',
    generateBundle(_, bundle) {
      const files = phoneFiles(bundle);
      const text = readFileSync(fileURLToPath(new URL('worker.js', import.meta.url)), 'utf8');
      const later = Object.keys(bundle).filter((name) => /\.wasm$/.test(name)).map((name) => `/${name}`);
      const version = createHash('sha256').update(JSON.stringify([files, later])).update(text).digest('hex').slice(0, 12);
      this.emitFile({ type: 'asset', fileName: 'sw.js', source: text.replace('__VERSION__', version).replace('__FILES__', JSON.stringify(files)).replace('__LATER__', JSON.stringify(later)) });
    },
  };
}
