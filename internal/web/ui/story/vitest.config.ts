import { defineConfig } from 'vitest/config';

/**
 * The story in a browser. STORY chooses another file of this folder: "looks"
 * takes pictures of every screen, "weight" says what a first page weighs.
 */
export default defineConfig({
  test: {
    include: [process.env.STORY ? `story/${process.env.STORY}.ts` : 'story/*.test.ts'],
    environment: 'node',
    pool: 'forks',
    // One browser at a time: the machine may be small, and each file starts a program of its own.
    fileParallelism: false,
    // Far more than is needed; only what hangs is to fail by it.
    testTimeout: 300_000,
    hookTimeout: 300_000,
    reporters: ['verbose'],
    disableConsoleIntercept: true,
  },
});
