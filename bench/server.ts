/**
 * What a server carries, next to bare inserts of the same rows in the same database on the same disk:
 * `npm run bench:server` (some minutes), `npm run bench:server -- long`, `-- growth` (to 10⁶ entries; `growth 10000000`
 * to that), `-- rounds`; `sqlite` or `postgres` for one of them alone. The server is bundled first; with a PostgreSQL
 * installed that is measured too. Everything runs on this machine, clients included, so that client and server share its
 * processors; the load of the machine is printed.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { availableParallelism, loadavg, tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { builtProgram } from '../apps/server/test/support/program.ts';
import { type Bare, barePostgres, bareSqlite } from './server/bare.ts';
import { grow } from './server/growth.ts';
import { print } from './server/measure.ts';
import { type StartServer, startServer } from './server/program.ts';
import { compareRates, type Sizes } from './server/rates.ts';
import { measureRounds } from './server/rounds.ts';

interface Cluster {
  database(): Promise<string>;
  stop(): Promise<void>;
}

const args = process.argv.slice(2);
const long = args.includes('long');
const sizes: Sizes = {
  turns: 5,
  tanks: 8,
  perTank: long ? 5000 : 1000,
  clients: 4,
  crowd: 32,
  batch: 250,
  singles: long ? 1000 : 250,
};

const only = args.find((one) => one === 'sqlite' || one === 'postgres');
const withSqlite = only !== 'postgres';

async function postgres(): Promise<Cluster | undefined> {
  if (only === 'sqlite') return undefined;
  const helper = new URL('../packages/store/test/support/postgres.ts', import.meta.url).href;
  const { startCluster } = (await import(helper)) as {
    startCluster(how: { forced: boolean }): Promise<Cluster>;
  };
  return startCluster({ forced: true }).catch((error: Error) => {
    console.log(`\nPostgreSQL is not measured: ${error.message}`);
    return undefined;
  });
}

async function rates(title: string, bare: Bare, data: string, url: string | undefined): Promise<void> {
  const server = await start(data, url);
  const { rows, shares, processor } = await compareRates(bare, server, sizes);
  await server.stop();
  await bare.close();
  print(title, rows);
  for (const { of, share } of shares)
    console.log(`  push is ${share.toFixed(2)} of ${of} (middle of ${sizes.turns} turns)`);
  for (const { what, server: served, bare: inserted } of processor)
    console.log(
      `  ${what}: the server takes ${served.toFixed(0)} µs of a processor an entry, the program that inserts ` +
        `${inserted.toFixed(0)} µs`,
    );
}

const root = fileURLToPath(new URL('../', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'brinewright-bench-'));
const program = await builtProgram();
const start: StartServer = (data, url) => startServer(program, data, url);
const cluster = await postgres();
try {
  console.log(
    `${availableParallelism()} processors, load ${loadavg()[0]?.toFixed(1)}, Node ${process.version}, ${sizes.clients} clients`,
  );
  if (args.includes('growth')) {
    const most = Number(args.find((one) => /^\d+$/.test(one)) ?? 1_000_000);
    if (withSqlite) await grow(start, 'SQLite', join(folder, 'sqlite'), undefined, most);
    if (cluster !== undefined) await grow(start, 'PostgreSQL', folder, await cluster.database(), most);
  } else if (args.includes('rounds')) {
    if (withSqlite) await measureRounds(start, 'SQLite', join(folder, 'sqlite'), undefined);
    if (cluster !== undefined) await measureRounds(start, 'PostgreSQL', folder, await cluster.database());
  } else {
    if (withSqlite) await rates('SQLite', bareSqlite(folder), join(folder, 'data'), undefined);
    if (cluster !== undefined)
      await rates(
        'PostgreSQL',
        await barePostgres(await cluster.database(), sizes.crowd),
        folder,
        await cluster.database(),
      );
  }
} finally {
  await cluster?.stop();
  rmSync(folder, { recursive: true, force: true });
  rmSync(dirname(dirname(dirname(join(root, program)))), { recursive: true, force: true });
}
