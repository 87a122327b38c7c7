import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { Agent, request } from 'node:http';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { gunzipSync } from 'node:zlib';
import { type Entry, lineOf, type TankId } from '@brinewright/journal';
import { newPoster } from './poster.ts';

const root = fileURLToPath(new URL('../../', import.meta.url));

interface Reply {
  readonly status: number;
  readonly tag: string;
  readonly text: string;
  /** As it travelled. */
  readonly bytes: number;
}

export interface ServerUnderTest {
  ask(
    method: string,
    path: string,
    body?: string,
    headers?: Readonly<Record<string, string>>,
  ): Promise<Reply>;
  push(tank: TankId, entries: readonly Entry[]): Promise<number>;
  /** The next page of a tank's entries, from the first on. */
  pull(tank: TankId, limit: number): Promise<number>;
  /** Resident memory, MiB. */
  memory(): Promise<number>;
  /** Processor time taken so far, s. */
  processor(): Promise<number>;
  stop(): Promise<void>;
}

/** Starts a server on a folder, or on a database where one is named. */
export type StartServer = (data: string, databaseUrl: string | undefined) => Promise<ServerUnderTest>;

/**
 * The bundled server in a process of its own, asked over loopback on connections that stay open.
 * @param program path of the bundle, from the checkout's root
 */
export async function startServer(
  program: string,
  data: string,
  databaseUrl: string | undefined,
): Promise<ServerUnderTest> {
  const env = { ...process.env, ...(databaseUrl === undefined ? {} : { DATABASE_URL: databaseUrl }) };
  const args = [join(root, program), '--port', '0', '--data', data];
  const child = spawn(process.execPath, args, { env, stdio: ['ignore', 'pipe', 'ignore', 'ipc'] });
  const ended = once(child, 'exit');
  const address = await addressIn(createInterface({ input: child.stdout! }));
  const agent = new Agent({ keepAlive: true });
  const poster = newPoster(address);
  const ask: ServerUnderTest['ask'] = (method, path, body, headers = {}) =>
    new Promise((resolve, reject) => {
      const all = { 'Accept-Encoding': 'gzip', 'Content-Type': 'application/json', ...headers };
      const sent = request(`${address}${path}`, { method, agent, headers: all }, (response) => {
        const parts: Buffer[] = [];
        response.on('data', (part) => parts.push(part));
        response.on('end', () => {
          const bytes = Buffer.concat(parts);
          const plain = response.headers['content-encoding'] === 'gzip' ? gunzipSync(bytes) : bytes;
          const text = plain.toString();
          const status = response.statusCode ?? 0;
          if (status >= 400) reject(new Error(text));
          else resolve({ status, text, bytes: bytes.length, tag: String(response.headers.etag) });
        });
      });
      sent.on('error', (error: NodeJS.ErrnoException) => {
        // A connection that rested may be closed by the server just as it is taken up again.
        if (sent.reusedSocket && error.code === 'ECONNRESET') resolve(ask(method, path, body, headers));
        else reject(error);
      });
      sent.end(body);
    });
  const measured = async (name: string): Promise<number> =>
    Number(new RegExp(`^${name} (\\S+)`, 'm').exec((await ask('GET', 'metrics')).text)?.[1]);
  const places = new Map<TankId, string>();
  return {
    ask,
    async push(tank, entries) {
      const body = `{"entries":[${entries.map(lineOf).join(',')}]}`;
      return JSON.parse(await poster.post(`api/tanks/${tank}/entries`, body)).added.length;
    },
    async pull(tank, limit) {
      const place = places.get(tank);
      const after = place === undefined ? '' : `&after=${place}`;
      const page = JSON.parse((await ask('GET', `api/tanks/${tank}/entries?limit=${limit}${after}`)).text);
      places.set(tank, page.place);
      return page.entries.length;
    },
    memory: async () => (await measured('process_resident_memory_bytes')) / 1024 / 1024,
    processor: () => measured('process_cpu_seconds_total'),
    async stop() {
      agent.destroy();
      poster.close();
      child.kill('SIGKILL');
      await ended;
    },
  };
}

async function addressIn(lines: AsyncIterable<string>): Promise<string> {
  for await (const line of lines) {
    const address = /^Serving at (\S+)$/.exec(line)?.[1];
    if (address !== undefined) return address;
  }
  throw new Error('the server did not start');
}
