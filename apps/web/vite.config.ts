import { createHash } from 'node:crypto';
import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { defineConfig, type Plugin } from 'vite';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));
const WORKER = 'service-worker.js';

/** Tells the service worker what there is to keep: every built file, under a name that changes with them. */
function keepOffline(): Plugin {
  return {
    name: 'keep-offline',
    generateBundle: {
      order: 'post',
      handler(_, bundle) {
        const worker = bundle[WORKER];
        if (worker?.type !== 'chunk') throw new Error(`the build has no ${WORKER}`);
        const built = Object.keys(bundle).filter((file) => file.startsWith('assets/'));
        const files = ['', ...built.sort(), ...readdirSync(here('public'))].map((file) => `/${file}`);
        const contents = files.concat(JSON.stringify(bundle['index.html']));
        const version = createHash('sha256').update(contents.join()).digest('hex').slice(0, 12);
        worker.code = worker.code
          .replaceAll('__VERSION__', JSON.stringify(version))
          .replaceAll('__FILES__', JSON.stringify(files));
      },
    },
  };
}

export default defineConfig({
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  plugins: [keepOffline()],
  build: {
    outDir: 'dist/site',
    emptyOutDir: true,
    target: 'es2022',
    modulePreload: { polyfill: false },
    rolldownOptions: {
      input: { index: here('index.html'), 'service-worker': here('src/offline/service-worker.ts') },
      output: {
        entryFileNames: ({ name }) => (name === 'service-worker' ? WORKER : 'assets/[name]-[hash].js'),
      },
    },
  },
  worker: { format: 'es' },
});
