/**
 * What runs in the worker: cmd/trugwasm, built from its Go sources whenever the web app is. The same
 * sources and the same Go make the same bytes. It is kept packed, and the server hands it out packed.
 */
import { execFileSync } from 'node:child_process';
import { copyFileSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import type { Plugin } from 'vite';

const built = join(import.meta.dirname, 'src/field/built');
const module = join(import.meta.dirname, '../../..');

export function checks(): Plugin {
  let assets = '';
  return {
    name: 'trug-checks',
    configResolved(config) {
      assets = join(config.root, config.build.outDir, config.build.assetsDir);
      if (config.build.outDir.startsWith('/')) assets = join(config.build.outDir, config.build.assetsDir);
    },
    buildStart() {
      if (process.env.VITEST) return;
      mkdirSync(built, { recursive: true });
      execFileSync('go', ['build', '-trimpath', '-buildvcs=false', '-ldflags=-s -w', '-o', join(built, 'checks.wasm'), './cmd/trugwasm'], {
        cwd: module,
        env: { ...process.env, GOOS: 'js', GOARCH: 'wasm', GOFLAGS: '-tags=nodynamic', CGO_ENABLED: '0' },
        stdio: ['ignore', 'inherit', 'inherit'],
      });
      const root = execFileSync('go', ['env', 'GOROOT'], { cwd: module, encoding: 'utf8' }).trim();
      copyFileSync(join(root, 'lib/wasm/wasm_exec.js'), join(built, 'wasm_exec.js'));
    },
    closeBundle() {
      if (process.env.VITEST) return;
      for (const name of readdirSync(assets).filter((n) => n.endsWith('.wasm'))) {
        const file = join(assets, name);
        writeFileSync(`${file}.gz`, gzipSync(readFileSync(file), { level: 9 }));
        rmSync(file);
      }
    },
  };
}
