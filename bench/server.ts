/**
 * How fast a server takes entries in and gives them out, next to bare inserts of the same rows in the same database on
 * the same disk: `npm run bench:server` (a few seconds), `npm run bench:server -- long`. With a PostgreSQL installed it
 * is measured too. Everything runs on this machine, clients included, so that client and server share its processors.
 */
import { spawn } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { availableParallelism, tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { type Entry, lineOf, newEntryId, newTankId, type TankId } from '@brinewright/journal';
import Libsql from 'libsql';
import pg from 'pg';

const long = process.argv.includes('long');
const TANKS = 8;
const PER_TANK = long ? 25_000 : 1000;
const CLIENTS = 4;
const BATCH = 250;
const SINGLES = long ? 4000 : 400;

const root = fileURLToPath(new URL('../', import.meta.url));
const seconds = (from: number): number => (performance.now() - from) / 1000;

function entriesOf(tank: TankId, n: number, from = 0): Entry[] {
  const random = createHash('sha256').update(tank).digest().subarray(0, 10);
  return Array.from({ length: n }, (_, i) => {
    const at = 1_772_000_000_000 + (from + i) * 60_000;
    const body = { analyte: 'temperature', value: 25 + (i % 10) / 10, kit: 'sump thermometer' };
    return {
      id: newEntryId(at, random),
      tank,
      at: new Date(at).toISOString(),
      kind: 'reading',
      body,
    } as Entry;
  });
}

const tanks = Array.from({ length: TANKS }, (_, n) => newTankId(1_772_000_000_000 + n, new Uint8Array(10)));
const later = Array.from({ length: CLIENTS }, (_, n) => newTankId(1_773_000_000_000 + n, new Uint8Array(10)));

function batchesOf<T>(list: readonly T[], size: number): T[][] {
  const batches: T[][] = [];
  for (let start = 0; start < list.length; start += size) batches.push(list.slice(start, start + size));
  return batches;
}

/** The value that 99 of 100 are not above. */
function percentile99(times: readonly number[]): number {
  const sorted = [...times].sort((a, b) => a - b);
  return sorted[Math.ceil(sorted.length * 0.99) - 1] ?? Number.NaN;
}

interface Measured {
  readonly what: string;
  readonly entries: number;
  readonly seconds: number;
  /** Of one request or transaction, s. */
  readonly times: readonly number[];
}

/** Several clients at once, each doing its jobs one after another. */
async function measure(what: string, jobs: readonly (() => Promise<number>)[][]): Promise<Measured> {
  const times: number[] = [];
  let entries = 0;
  const began = performance.now();
  await Promise.all(
    jobs.map(async (own) => {
      for (const job of own) {
        const start = performance.now();
        const count = await job();
        entries += count;
        times.push(seconds(start));
      }
    }),
  );
  return { what, entries, seconds: seconds(began), times };
}

async function startServer(data: string, databaseUrl: string | undefined) {
  const env = { ...process.env, ...(databaseUrl === undefined ? {} : { DATABASE_URL: databaseUrl }) };
  const args = [join(root, 'apps/server/dist/main.js'), '--port', '0', '--data', data];
  const child = spawn(process.execPath, args, { env, stdio: ['ignore', 'pipe', 'ignore'] });
  for await (const line of createInterface({ input: child.stdout })) {
    const address = /^Serving at (\S+)$/.exec(line)?.[1];
    if (address !== undefined) return { address, child };
  }
  throw new Error('the server did not start: build it with "npm start" first');
}

async function throughServer(data: string, databaseUrl: string | undefined): Promise<Measured[]> {
  const { address, child } = await startServer(data, databaseUrl);
  const push = async (tank: TankId, entries: readonly Entry[]): Promise<number> => {
    const response = await fetch(`${address}api/tanks/${tank}/entries`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: `{"entries":[${entries.map(lineOf).join(',')}]}`,
    });
    if (!response.ok) throw new Error(await response.text());
    return (await response.json()).added.length;
  };
  const places = new Map<TankId, string>();
  const pull = async (tank: TankId): Promise<number> => {
    const place = places.get(tank);
    const after = place === undefined ? '' : `&after=${place}`;
    const response = await fetch(`${address}api/tanks/${tank}/entries?limit=${BATCH}${after}`);
    const page = await response.json();
    places.set(tank, page.place);
    return page.entries.length;
  };
  const shared = (n: number): TankId[] => tanks.filter((_, i) => i % CLIENTS === n);
  const clients = Array.from({ length: CLIENTS }, (_, n) => n);
  const pages = Math.ceil(PER_TANK / BATCH);
  const measured = [
    await measure(
      `push ${BATCH} at once`,
      clients.map((n) =>
        shared(n).flatMap((tank) =>
          batchesOf(entriesOf(tank, PER_TANK), BATCH).map((batch) => () => push(tank, batch)),
        ),
      ),
    ),
    await measure(
      'push one at once',
      clients.map((n) =>
        entriesOf(later[n] as TankId, SINGLES / CLIENTS).map((one) => () => push(one.tank, [one])),
      ),
    ),
    await measure(
      `pull ${BATCH} at once`,
      clients.map((n) => shared(n).flatMap((tank) => Array.from({ length: pages }, () => () => pull(tank)))),
    ),
  ];
  child.kill('SIGKILL');
  return measured;
}

/** The store's own table, with its indexes, and nothing else. */
const TABLE = [
  'create table entry (seq bigint primary key, id text not null unique, tank text not null, line text not null)',
  'create index entry_by_tank on entry (tank, seq)',
];
const INSERT = 'insert into entry (seq, id, tank, line) values ($1, $2, $3, $4)';

async function bareSqlite(folder: string): Promise<Measured[]> {
  const db = new Libsql(join(folder, 'bare.sqlite'));
  db.pragma('journal_mode = WAL');
  db.pragma('synchronous = FULL');
  for (const sql of TABLE) db.exec(sql);
  const insert = db.prepare(INSERT.replaceAll('$', '?'));
  let seq = 0;
  const write = async (batch: readonly Entry[]): Promise<number> => {
    db.exec('begin immediate');
    for (const entry of batch) insert.run(++seq, entry.id, entry.tank, lineOf(entry));
    db.exec('commit');
    return batch.length;
  };
  return bareRuns(write);
}

async function barePostgres(url: string): Promise<Measured[]> {
  const client = new pg.Client(url);
  await client.connect();
  for (const sql of TABLE) await client.query(sql);
  let seq = 0;
  const write = async (batch: readonly Entry[]): Promise<number> => {
    await client.query(
      `insert into entry (seq, id, tank, line)
       select $1::bigint + place, id, tank, line
       from unnest($2::text[], $3::text[], $4::text[]) with ordinality as given (id, tank, line, place)`,
      [seq, batch.map(({ id }) => id), batch.map(({ tank }) => tank), batch.map(lineOf)],
    );
    seq += batch.length;
    return batch.length;
  };
  const measured = await bareRuns(write);
  await client.end();
  return measured;
}

async function bareRuns(write: (batch: readonly Entry[]) => Promise<number>): Promise<Measured[]> {
  const all = tanks.flatMap((tank) => batchesOf(entriesOf(tank, PER_TANK), BATCH));
  const singles = later.flatMap((tank) => entriesOf(tank, SINGLES / CLIENTS));
  return [
    await measure(`bare insert, ${BATCH} a transaction`, [all.map((batch) => () => write(batch))]),
    await measure('bare insert, one a transaction', [singles.map((one) => () => write([one]))]),
  ];
}

function print(title: string, rows: readonly Measured[]): void {
  console.log(`\n${title}`);
  for (const { what, entries, seconds: took, times } of rows) {
    const rate = Math.round(entries / took).toLocaleString('en');
    const p99 = (1000 * percentile99(times)).toFixed(1);
    console.log(
      `  ${what.padEnd(34)}${String(entries).padStart(8)} entries  ${rate.padStart(9)} entries/s  p99 ${p99.padStart(8)} ms`,
    );
  }
}

interface Cluster {
  database(): Promise<string>;
  stop(): Promise<void>;
}

async function postgres(): Promise<Cluster | undefined> {
  const helper = new URL('../packages/store/test/support/postgres.ts', import.meta.url).href;
  const { startCluster } = (await import(helper)) as {
    startCluster(): Promise<Cluster>;
  };
  return startCluster().catch((error: Error) => {
    console.log(`\nPostgreSQL was not measured: ${error.message}`);
    return undefined;
  });
}

const folder = mkdtempSync(join(tmpdir(), 'brinewright-bench-'));
try {
  console.log(`${availableParallelism()} processors, Node ${process.version}, ${CLIENTS} clients`);
  print('SQLite, bare', await bareSqlite(folder));
  print('SQLite, through the server', await throughServer(join(folder, 'data'), undefined));
  const cluster = await postgres();
  if (cluster !== undefined) {
    print('PostgreSQL without forced writes, bare', await barePostgres(await cluster.database()));
    const url = await cluster.database();
    print('PostgreSQL without forced writes, through the server', await throughServer(folder, url));
    await cluster.stop();
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
