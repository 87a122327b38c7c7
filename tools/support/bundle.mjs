import { existsSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { root } from './root.mjs';

/** CommonJS dependencies inside an ES module bundle still call `require`. */
const banner =
  "import{createRequire as __createRequire}from'node:module';const require=__createRequire(import.meta.url);";

/** Dependencies of a workspace that come from outside it. */
function outsiders(home) {
  const { dependencies } = JSON.parse(readFileSync(join(root, home, 'package.json'), 'utf8'));
  return Object.keys(dependencies).filter((name) => !name.startsWith('@brinewright/'));
}

/**
 * Programs that run in Node, each bundled to one file. The command line holds all it needs and starts at once. The
 * server leaves what it gets from outside where it is: some of it has binary parts or finds files beside its own.
 */
export const programs = {
  cli: { entry: 'apps/cli/src/main.ts', out: 'apps/cli/dist/main.js', external: [] },
  server: {
    entry: 'apps/server/src/main.ts',
    out: 'apps/server/dist/main.js',
    external: [...outsiders('apps/server'), ...outsiders('packages/store')],
  },
  reckoning: { entry: 'apps/server/src/reckoning.ts', out: 'apps/server/dist/reckoning.js', external: [] },
};

/** Bundles one program; returns the path written. Throws where its entry is missing or does not compile. */
export async function bundle({ entry, out, external }) {
  if (!existsSync(join(root, entry))) throw new Error(`${entry} is missing.`);
  const esbuild = await import('esbuild');
  await esbuild.build({
    absWorkingDir: root,
    entryPoints: [entry],
    outfile: out,
    external,
    bundle: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    minifySyntax: true,
    sourcemap: 'linked',
    loader: { '.sql': 'text', '.csv': 'text' },
    logLevel: 'warning',
    banner: { js: banner },
  });
  return resolve(root, out);
}
