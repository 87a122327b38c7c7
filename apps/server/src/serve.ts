import { randomBytes } from 'node:crypto';
import { availableParallelism } from 'node:os';
import { fileURLToPath } from 'node:url';
import { serve } from '@hono/node-server';
import { threadPool } from './answers/pool.ts';
import { serverApp } from './app.ts';
import type { Config } from './config.ts';
import { foundingInvitation } from './crew/invitations.ts';
import { movedTanks } from './entries/moved.ts';
import { jsonLog } from './http/log.ts';
import { newMetrics } from './http/metrics.ts';
import { postgresQueue } from './jobs/postgres-queue.ts';
import type { Queue } from './jobs/queue.ts';
import { tableQueue } from './jobs/table-queue.ts';
import { tasks } from './jobs/tasks.ts';
import { openKept } from './open.ts';
import { keepListening } from './probes/mqtt.ts';
import type { Services } from './services.ts';
import { readSite } from './site.ts';
import type { Database } from './sql/database.ts';

export interface ServeOptions extends Config {
  /** Folder of the built pages. */
  readonly folder?: string;
  /** What a reckoning thread runs: a program that calls `answerQuestions`. */
  readonly program: URL;
  readonly write: (line: string) => void;
}

export interface Served {
  readonly address: string;
  /** Where the first account of a shared server is opened; undefined where there is one. */
  readonly joinAt: string | undefined;
  /** Takes no more requests, lets those in hand and the tasks in hand end, and closes the database. */
  readonly close: () => Promise<void>;
}

/** Both the sources and the bundle lie one folder deep in apps/server. */
const BUILT = fileURLToPath(new URL('../../web/dist/site', import.meta.url));

/** After this long, requests still in hand are cut off, ms. */
const PATIENCE = 10_000;

/**
 * Serves until closed.
 * @throws Error where the pages are not built or the database cannot be opened; rejects where the port is taken
 */
export async function serveApp(options: ServeOptions): Promise<Served> {
  const { port, host, mode, metricsToken, program, write } = options;
  const site = readSite(options.folder ?? BUILT);
  const { store, database } = await openKept(options);
  const threads = Math.max(1, availableParallelism() - 1);
  const queue = await openQueue(options, database, threads);
  const log = jsonLog(write, Date.now);
  const services: Services = {
    mode,
    store,
    database,
    reckoner: threadPool({ program, threads }),
    queue,
    moved: movedTanks(queue, Date.now, log),
    log,
    metrics: newMetrics(),
    metricsToken,
    push: options.push,
    now: Date.now,
    random: randomBytes,
  };
  let probes: { close(): Promise<void> } | undefined;
  const shut = async (): Promise<void> => {
    await probes?.close();
    await services.moved.settle();
    await services.reckoner.close();
    await services.queue.stop();
    await database.close();
    await store.close();
  };
  try {
    const { address, stop } = await listen(serverApp(services, site).fetch, port, host);
    if (options.mqttUrl !== undefined) probes = keepListening(services, options.mqttUrl, options.mqttTrust);
    await services.queue.start(services);
    await services.queue.add('freshen', 'all');
    if (options.push !== undefined) await services.queue.add('remind', 'all');
    let closing: Promise<void> | undefined;
    const founding = mode.shared ? await foundingInvitation(services) : undefined;
    return {
      address,
      joinAt: mode.shared && founding ? `${mode.origin}/join/${founding.secret}` : undefined,
      close: () => (closing ??= stop().then(shut)),
    };
  } catch (error) {
    await shut();
    throw error;
  }
}

function openQueue({ databaseUrl }: Config, database: Database, workers: number): Promise<Queue> | Queue {
  return databaseUrl === undefined
    ? tableQueue(database, tasks, Date.now, { workers })
    : postgresQueue(databaseUrl, tasks, { workers });
}

function listen(
  fetch: Parameters<typeof serve>[0]['fetch'],
  port: number,
  host: string,
): Promise<{ address: string; stop: () => Promise<void> }> {
  return new Promise((resolve, reject) => {
    const server = serve({ fetch, port, hostname: host }, (info) => {
      const name = host.includes(':') ? `[${host}]` : host;
      resolve({ address: `http://${name}:${info.port}/`, stop: () => stopped(server) });
    });
    server.once('error', reject);
  });
}

function stopped(server: ReturnType<typeof serve>): Promise<void> {
  return new Promise((done) => {
    const late = setTimeout(() => 'closeAllConnections' in server && server.closeAllConnections(), PATIENCE);
    server.close(() => {
      clearTimeout(late);
      done();
    });
    if ('closeIdleConnections' in server) server.closeIdleConnections();
  });
}
