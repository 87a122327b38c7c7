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

/** The page begins with parts it imports one after the other: all of them are fetched while the first is on its way. */
function fetchAtOnce(): Plugin {
  return {
    name: 'fetch-at-once',
    transformIndexHtml: {
      order: 'post',
      handler(_, { chunk, bundle = {} }) {
        const wanted = new Set<string>();
        const want = (file: string) => {
          const part = bundle[file];
          if (wanted.has(file) || part?.type !== 'chunk') return;
          wanted.add(file);
          part.imports.forEach(want);
        };
        chunk?.dynamicImports.forEach(want);
        return [...wanted].map((file) => ({
          tag: 'link',
          attrs: { rel: 'modulepreload', crossorigin: true, href: `/${file}` },
          injectTo: 'head',
        }));
      },
    },
  };
}

export default defineConfig({
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  plugins: [keepOffline(), fetchAtOnce()],
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
