/** The page that tests the store in a browser, and the browser. */
import { createServer, type Server } from 'node:http';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

/** Finds the system's browser, or installs it where that is possible; and how it is started. */
export const {
  ensureChromium,
  browserFlags: flags,
}: { ensureChromium(): Promise<string>; browserFlags: readonly string[] } = await import(
  new URL('../../../../tools/support/debian.mjs', import.meta.url).href
);

/** Serves the page on a free port of this machine. */
export const servePage = async (): Promise<Server> => serve(await bundle('./indexeddbPage.ts'));

async function bundle(entry: string): Promise<string> {
  const { outputFiles } = await build({
    entryPoints: [fileURLToPath(new URL(entry, import.meta.url))],
    bundle: true,
    write: false,
    format: 'iife',
    target: 'es2022',
    logLevel: 'silent',
  });
  return outputFiles[0]?.text ?? '';
}

async function serve(script: string): Promise<Server> {
  const created = createServer((request, response) => {
    const isScript = request.url === '/script.js';
    response.setHeader('content-type', `${isScript ? 'text/javascript' : 'text/html'}; charset=utf-8`);
    response.end(isScript ? script : '<!doctype html><title>store</title><script src="/script.js"></script>');
  });
  await new Promise<void>((ready) => created.listen(0, '127.0.0.1', ready));
  return created;
}
