/** A server on a database of its own in a folder that goes away with it, asked without a network. */
import { randomBytes } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { answer } from '../../src/answers/answer.ts';
import type { Reckoner } from '../../src/answers/reckoner.ts';
import { serverApp } from '../../src/app.ts';
import { movedTanks } from '../../src/entries/moved.ts';
import { jsonLog } from '../../src/http/log.ts';
import { newMetrics } from '../../src/http/metrics.ts';
import { postgresQueue } from '../../src/jobs/postgres-queue.ts';
import { tableQueue } from '../../src/jobs/table-queue.ts';
import { tasks } from '../../src/jobs/tasks.ts';
import { openKept } from '../../src/open.ts';
import type { PushKeys } from '../../src/push/keys.ts';
import type { Mode, Services } from '../../src/services.ts';

export const ORIGIN = 'https://tanks.example';
export const SHARED: Mode = { shared: true, origin: ORIGIN, behindProxy: false };

export interface TestServer {
  readonly app: ReturnType<typeof serverApp>;
  readonly services: Services;
  readonly folder: string;
  /** Everything logged so far. */
  readonly logged: string[];
  /** The clock the server sees; epoch milliseconds. */
  time: number;
  close(): Promise<void>;
}

/** Reckons on this thread. */
const here: Reckoner = {
  ask: async (question) => answer(question),
  close: async () => undefined,
};

export interface TestOptions {
  readonly mode?: Mode;
  readonly databaseUrl?: string;
  /** A folder to open again; it is then left where it is. */
  readonly folder?: string;
  readonly reckoner?: Reckoner;
  readonly metricsToken?: string;
  readonly push?: PushKeys;
}

export async function testServer({
  mode = { shared: false },
  databaseUrl,
  folder,
  reckoner = here,
  metricsToken,
  push,
}: TestOptions = {}): Promise<TestServer> {
  const data = folder ?? mkdtempSync(join(tmpdir(), 'brinewright-server-'));
  const { store, database } = await openKept({ data, databaseUrl });
  const logged: string[] = [];
  const now = (): number => server.time;
  const queue =
    databaseUrl === undefined
      ? tableQueue(database, tasks, now, { every: 20 })
      : await postgresQueue(databaseUrl, tasks);
  const log = jsonLog((line) => logged.push(line), now);
  const services: Services = {
    mode,
    store,
    database,
    reckoner,
    queue,
    moved: movedTanks(queue, now, log),
    log,
    metrics: newMetrics(),
    metricsToken,
    push,
    now,
    random: randomBytes,
  };
  const server: TestServer = {
    app: serverApp(services),
    services,
    folder: data,
    logged,
    time: Date.parse('2026-03-06T12:00:00Z'),
    async close() {
      await services.moved.settle();
      await services.queue.stop();
      await database.close();
      await store.close();
      if (folder === undefined) rmSync(data, { recursive: true, force: true });
    },
  };
  return server;
}
