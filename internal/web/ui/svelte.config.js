import { vitePreprocess } from '@sveltejs/vite-plugin-svelte';

export default {
  preprocess: vitePreprocess(),
  compilerOptions: {
    // The class names must depend on the styles alone, so that the same
    // sources give the same bytes in whatever folder they lie.
    cssHash: ({ hash, css, name }) => `t-${hash(name + css)}`,
  },
};
