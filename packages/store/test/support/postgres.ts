/** A PostgreSQL of the test's own: started in a folder of its own on a socket there, gone afterwards. */
import { execFileSync, spawn } from 'node:child_process';
import { chmodSync, chownSync, existsSync, mkdirSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pg from 'pg';

export interface Cluster {
  /** Makes an empty database and gives the connection string to it. */
  database(): Promise<string>;
  /** Kills every process of it at once, and starts it again. */
  crash(): Promise<void>;
  stop(): Promise<void>;
}

const tools: { aptInstall(packages: string[], remedy: string): Promise<void> } = await import(
  new URL('../../../../tools/support/debian.mjs', import.meta.url).href
);

export interface ClusterOptions {
  /** Writes are forced to the disk, as in earnest; tests look at what holds while the machine stays up. */
  readonly forced?: boolean;
  /** Files may grow so far and no further, as on a full disk. */
  readonly mostKilobytes?: number;
}

export async function startCluster(options: ClusterOptions = {}): Promise<Cluster> {
  const { forced = false, mostKilobytes } = options;
  const programs = await programFolder();
  const folder = mkdtempSync(join(tmpdir(), 'brinewright-pg-'));
  const owner = process.getuid?.() === 0 ? idsOf('postgres') : undefined;
  const data = join(folder, 'data');
  mkdirSync(data);
  for (const path of [folder, data]) {
    chmodSync(path, 0o700);
    if (owner !== undefined) chownSync(path, owner.uid, owner.gid);
  }
  const run = { ...owner, cwd: folder, stdio: 'ignore' as const };
  const initial = ['-D', data, '-U', 'postgres', '-A', 'trust', '-E', 'UTF8', '--locale=C', '--no-sync'];
  execFileSync(join(programs, 'initdb'), initial, run);
  const settings = [
    `fsync=${forced ? 'on' : 'off'}`,
    'listen_addresses=',
    `unix_socket_directories=${folder}`,
    'max_connections=60',
  ];
  const start = () => {
    const args = ['-D', data, ...settings.flatMap((one) => ['-c', one])];
    const limit = mostKilobytes === undefined ? '' : `ulimit -f ${mostKilobytes}; `;
    const command = ['-c', `${limit}exec "$0" "$@"`, join(programs, 'postgres'), ...args];
    const process = spawn('/bin/bash', command, run);
    return { process, ended: new Promise<void>((resolve) => process.once('exit', () => resolve())) };
  };
  let server = start();
  const url = (name: string): string => `postgres://postgres@/${name}?host=${encodeURIComponent(folder)}`;
  await ready(url('postgres'));

  let made = 0;
  return {
    async database() {
      const name = `place_${made++}`;
      await once(url('postgres'), `create database ${name}`);
      return url(name);
    },
    async crash() {
      const { rows } = await once<{ pid: number }>(url('postgres'), 'select pid from pg_stat_activity');
      for (const pid of [server.process.pid as number, ...rows.map(({ pid }) => pid)]) killed(pid);
      await server.ended;
      // While a process of the old one is still about to end, a new one refuses to start.
      for (let up = false; !up; ) {
        server = start();
        const { ended } = server;
        up = await Promise.race([ready(url('postgres')).then(() => true), ended.then(() => false)]);
      }
    },
    async stop() {
      server.process.kill('SIGINT');
      await server.ended;
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

const DEBIAN = '/usr/lib/postgresql';

async function programFolder(): Promise<string> {
  const found = installed();
  if (found !== undefined) return found;
  await tools.aptInstall(
    ['postgresql'],
    'Install PostgreSQL 15 or later to run the store tests that need it.',
  );
  return installed() ?? '';
}

/** The newest version where Debian keeps them, else wherever the path finds them. */
function installed(): string | undefined {
  const versions = existsSync(DEBIAN) ? readdirSync(DEBIAN).sort((a, b) => Number(b) - Number(a)) : [];
  const folders = [
    ...versions.map((one) => join(DEBIAN, one, 'bin')),
    ...(process.env.PATH ?? '').split(':'),
  ];
  return folders.find((one) => existsSync(join(one, 'initdb')) && existsSync(join(one, 'postgres')));
}

function idsOf(user: string): { uid: number; gid: number } {
  const id = (flag: string) => Number(execFileSync('id', [flag, user], { encoding: 'utf8' }));
  return { uid: id('-u'), gid: id('-g') };
}

function killed(pid: number): void {
  try {
    process.kill(pid, 'SIGKILL');
  } catch {
    // The one that was asked with has ended by itself.
  }
}

async function ready(url: string): Promise<void> {
  for (let tries = 0; ; tries++) {
    try {
      await once(url, 'select 1');
      return;
    } catch (error) {
      if (tries === 200) throw error;
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
  }
}

const once = <Row extends object>(url: string, sql: string): Promise<{ rows: Row[] }> =>
  withClient(url, (client) => client.query<Row>(sql));

/** Does work on a connection of its own. */
export async function withClient<T>(url: string, work: (client: pg.Client) => Promise<T>): Promise<T> {
  const client = new pg.Client({ connectionString: url });
  try {
    await client.connect();
    return await work(client);
  } finally {
    await client.end();
  }
}
