import { fileURLToPath } from 'node:url';
import { serve } from '@hono/node-server';
import { pages } from './pages.ts';
import { readSite } from './site.ts';

export interface ServeOptions {
  /** 0 lets the machine choose. */
  readonly port: number;
  /** 127.0.0.1 unless said otherwise: this machine only. */
  readonly host?: string;
  /** Folder of the built pages. */
  readonly folder?: string;
}

export interface Served {
  readonly address: string;
  readonly close: () => Promise<void>;
}

/** Both the sources and the bundle lie one folder deep in apps/server. */
const BUILT = fileURLToPath(new URL('../../web/dist/site', import.meta.url));

/**
 * Serves the pages until closed. Says nothing by itself.
 * @throws Error where the pages are not built; rejects where the port is taken
 */
export function serveApp({ port, host = '127.0.0.1', folder = BUILT }: ServeOptions): Promise<Served> {
  const app = pages(readSite(folder));
  return new Promise((resolve, reject) => {
    const server = serve({ fetch: app.fetch, port, hostname: host }, (info) => {
      const name = host.includes(':') ? `[${host}]` : host;
      resolve({
        address: `http://${name}:${info.port}/`,
        close: () => new Promise((done) => server.close(() => done())),
      });
    });
    server.once('error', reject);
  });
}
