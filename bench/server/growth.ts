/** How serving changes as a journal grows: the same pushes and pulls at each size, and what lies on the disk. */
import { existsSync, mkdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { JournalStore } from '@brinewright/journal';
import { postgresStore } from '@brinewright/store/postgres';
import { sqliteStore } from '@brinewright/store/sqlite';
import pg from 'pg';
import { benchTank, readingsOf } from './entries.ts';
import { measure, print, seconds } from './measure.ts';
import type { ServerUnderTest, StartServer } from './program.ts';

const TANKS = 1000;
const CLIENTS = 4;
const BATCH = 250;
/** Requests of each kind at each size. */
const REQUESTS = 200;

export async function grow(
  startServer: StartServer,
  title: string,
  data: string,
  url: string | undefined,
  most: number,
): Promise<void> {
  if (url === undefined) mkdirSync(data, { recursive: true });
  const written = new Map<number, number>();
  let held = 0;
  for (let size = 10_000; size <= most; size *= 10) {
    const began = performance.now();
    const store = await openStore(data, url);
    const before = held;
    while (held < size - CLIENTS * 250) held += await fill(store, written, held);
    await store.close();
    const rate = (held - before) / seconds(began);
    const server = await startServer(data, url);
    const rows = await rowsAt(server, written);
    const memory = await server.memory();
    await server.stop();
    held += rows[0]?.entries ?? 0;
    const bytes = await sizeOf(data, url);
    print(
      `${title}, ${held.toLocaleString('en')} entries of ${TANKS} tanks: ${(bytes / 2 ** 20).toFixed(0)} MiB on disk, ` +
        `${Math.round(bytes / held)} bytes an entry, ${memory.toFixed(0)} MiB of memory, filled at ${Math.round(rate)}/s`,
      rows,
    );
  }
}

const openStore = async (data: string, url: string | undefined): Promise<JournalStore> =>
  url === undefined ? sqliteStore(join(data, 'journal.sqlite')) : postgresStore(url);

/** Ten readings of each of a hundred tanks, the next hundred each time. */
async function fill(store: JournalStore, written: Map<number, number>, held: number): Promise<number> {
  const first = (held / 10) % TANKS;
  const entries = Array.from({ length: 100 }, (_, i) =>
    next(written, Math.floor(first + i) % TANKS, 10),
  ).flat();
  await store.append(entries);
  return entries.length;
}

function next(written: Map<number, number>, tank: number, count: number) {
  const from = written.get(tank) ?? 0;
  written.set(tank, from + count);
  return readingsOf(benchTank(tank), count, from);
}

/** Each request is of another tank, as from a thousand devices. */
async function rowsAt(server: ServerUnderTest, written: Map<number, number>) {
  const jobs = (job: (tank: number) => Promise<number>) =>
    Array.from({ length: CLIENTS }, (_, client) =>
      Array.from({ length: REQUESTS / CLIENTS }, (_, n) => () => job((n * CLIENTS + client) * 5)),
    );
  const pushed = (count: number) => jobs((tank) => server.push(benchTank(tank), next(written, tank, count)));
  await server.push(benchTank(0), next(written, 0, 0));
  return [
    await measure(`push 5 at once`, pushed(5)),
    await measure(
      `pull ${BATCH} at once`,
      jobs((tank) => server.pull(benchTank(tank), BATCH)),
    ),
  ];
}

async function sizeOf(data: string, url: string | undefined): Promise<number> {
  if (url === undefined) {
    const file = join(data, 'journal.sqlite');
    return [file, `${file}-wal`]
      .filter((one) => existsSync(one))
      .reduce((sum, one) => sum + statSync(one).size, 0);
  }
  const client = new pg.Client(url);
  await client.connect();
  const { rows } = await client.query<{ size: string }>(
    'select pg_database_size(current_database()) as size',
  );
  await client.end();
  return Number(rows[0]?.size);
}
