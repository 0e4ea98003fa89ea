import { fieldWorker } from './src/field/worker-plugin.ts';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';
import { checks } from './checks.build';

/** Where `trug serve` or `trug demo` listens while the app is being written. */
const server = process.env.TRUG_SERVER ?? 'http://127.0.0.1:8026';

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
  },
  server: { proxy: { '/api': server, '/enter': server } },
  test: { include: ['src/**/*.test.ts'], environment: 'node' },
});
