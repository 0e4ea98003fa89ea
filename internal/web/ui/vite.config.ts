import { fieldWorker } from './src/field/worker-plugin.ts';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { fileURLToPath } from 'node:url';
import type { Rolldown } from 'vite';
import { defineConfig } from 'vitest/config';
import { checks } from './checks.build';

/** Where `trug serve` or `trug demo` listens while the app is being written. */
const server = process.env.TRUG_SERVER ?? 'http://127.0.0.1:8026';

/** needs lists the modules that one needs before it runs. */
const known = new Map<string, Set<string>>();
function needs(of: string, about: Pick<Rolldown.ChunkingContext, 'getModuleInfo'>): Set<string> {
  const before = known.get(of);
  if (before) return before;
  const all = new Set<string>();
  const look = (id: string) => {
    if (all.has(id)) return;
    all.add(id);
    about.getModuleInfo(id)?.importedIds.forEach(look);
  };
  look(fileURLToPath(new URL(of, import.meta.url)));
  known.set(of, all);
  return all;
}

export default defineConfig({
  plugins: [svelte(), checks(), fieldWorker()],
  worker: { format: 'es' },
  build: {
    outDir: '../dist',
    emptyOutDir: true,
    target: 'es2022',
    // The content policy of the server forbids data: addresses.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
    chunkSizeWarningLimit: 200,
    // A phone's start waits for each file by itself: what the frame needs is one, what the Daybook needs besides another.
    rolldownOptions: { output: { codeSplitting: { groups: [
      { priority: 2, debugName: 'start', name: (id, about) => (needs('src/main.ts', about).has(id) ? 'start' : null) },
      { priority: 1, debugName: 'day', name: (id, about) => (needs('src/recorder/Daybook.svelte', about).has(id) ? 'day' : null) },
    ] } } },
  },
  server: { proxy: { '/api': server, '/enter': server } },
  test: { include: ['src/**/*.test.ts'], environment: 'node' },
});
