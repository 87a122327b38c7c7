import { spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import type { Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { postgresStore } from '@brinewright/store/postgres';
import { sqliteStore } from '@brinewright/store/sqlite';
import Database from 'libsql';
import { type ConsoleMessage, chromium } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { batch, batchesIn } from './support/batches.ts';
import { ensureChromium, flags, servePage } from './support/browser.ts';
import type {} from './support/indexeddbPage.ts';
import { type Cluster, startCluster } from './support/postgres.ts';

const folder = mkdtempSync(join(tmpdir(), 'brinewright-crash-'));
const appender = fileURLToPath(new URL('./support/appender.ts', import.meta.url));

afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Kills in each test; `npm run kills` makes it a hundred. */
const times = (usual: number): number => Number(process.env.KILLS ?? usual);
const patience = (kills: number): number => 60_000 + kills * 10_000;

/** A program that appends batches, and the numbers of those that were confirmed so far. */
interface Appending {
  readonly confirmed: readonly number[];
  /** Resolves once the first was. */
  readonly begun: Promise<unknown>;
  readonly ended: Promise<unknown>;
  kill(): void;
}

function append(place: string, first: number): Appending {
  const child = spawn(process.execPath, ['--import', 'tsx', appender, place, String(first)], {
    stdio: ['ignore', 'pipe', 'ignore'],
  });
  const confirmed: number[] = [];
  const lines = createInterface({ input: child.stdout });
  const begun = new Promise((resolve) => lines.once('line', resolve));
  lines.on('line', (line) => confirmed.push(Number(line)));
  const ended = new Promise((resolve) => child.once('close', resolve));
  return { confirmed, begun, ended, kill: () => void child.kill('SIGKILL') };
}

/** Delays from a linear congruential generator (Numerical Recipes constants), so that every run kills alike. */
function delays(seed: number, count: number): number[] {
  let state = seed;
  return Array.from({ length: count }, () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state / 2 ** 32) * 120;
  });
}

/** What the browser's own database says of how it was opened, newest last. */
const logsOf = (profile: string): string =>
  readdirSync(profile, { recursive: true, encoding: 'utf8' })
    .filter((path) => /IndexedDB.*LOG(\.old)?$/.test(path))
    .map((path) => `${path}\n${readFileSync(join(profile, path), 'utf8')}`)
    .join('\n');

/**
 * Kills what appends, or what it appends to, again and again in mid-write.
 * @param begin appends from a batch on
 * @param kept what is found afterwards: how many entries of each batch
 * @returns how many batches were confirmed
 */
async function killAgainAndAgain(
  kills: number,
  begin: (first: number) => Promise<Appending> | Appending,
  kept: () => Promise<readonly (readonly [number, number])[]>,
  kill: (appending: Appending) => Promise<void> | void = ({ kill }) => kill(),
): Promise<number> {
  const confirmed = new Set<number>();
  let first = 0;
  for (const delay of delays(20260301, kills)) {
    const appending = await begin(first);
    await Promise.race([
      appending.begun,
      appending.ended.then(() => Promise.reject(new Error('it ended before it began'))),
    ]);
    await new Promise((resolve) => setTimeout(resolve, delay));
    await kill(appending);
    await appending.ended;
    for (const number of appending.confirmed) confirmed.add(number);
    const found = new Map(await kept());
    expect([...confirmed].filter((number) => !found.has(number))).toEqual([]);
    for (const [number, count] of found) expect(count).toBe(batch(number).length);
    first = Math.max(...found.keys()) + 1;
  }
  return confirmed.size;
}

// A killed process is what this shows. That a confirmed entry also outlives a power cut rests on the database's
// full synchronisation and on a disk that does not lie about it; neither can be tested here.
describe('a SQLite journal whose program is killed in mid-write', () => {
  const kills = times(8);
  it(
    'holds every confirmed batch, and none by half',
    async () => {
      const path = join(folder, 'journal.db');
      const size = await killAgainAndAgain(
        kills,
        (first) => append(path, first),
        async () => {
          const db = new Database(path);
          expect(db.prepare('pragma integrity_check').pluck().all()).toEqual(['ok']);
          db.close();
          const store = sqliteStore(path);
          const found = await batchesIn(store);
          await store.close();
          return found;
        },
      );
      expect(size).toBeGreaterThan(2 * kills);
    },
    patience(kills),
  );
});

describe('a PostgreSQL journal', () => {
  const kills = times(5);
  let cluster: Cluster;
  beforeAll(async () => {
    cluster = await startCluster();
  }, 300_000);
  afterAll(() => cluster?.stop(), 60_000);

  const keptAt = (url: string) => async () => {
    const store = await postgresStore(url);
    const found = await batchesIn(store);
    await store.close();
    return found;
  };

  it(
    'whose program is killed in mid-write holds every confirmed batch, and none by half',
    async () => {
      const url = await cluster.database();
      const size = await killAgainAndAgain(kills, (first) => append(url, first), keptAt(url));
      expect(size).toBeGreaterThan(2 * kills);
    },
    patience(kills),
  );

  it(
    'whose database is killed in mid-write holds every confirmed batch, and none by half',
    async () => {
      const url = await cluster.database();
      const size = await killAgainAndAgain(
        kills,
        (first) => append(url, first),
        keptAt(url),
        // The program ends by itself: its append is refused.
        () => cluster.crash(),
      );
      expect(size).toBeGreaterThan(2 * kills);
    },
    patience(kills),
  );
});

describe('a journal in IndexedDB whose browser is killed in mid-write', () => {
  const kills = times(3);
  const profile = join(folder, 'profile');
  let server: Server;
  beforeAll(async () => {
    server = await servePage();
    // What a browser makes of a folder it has never seen is its own affair: it is let finish that once.
    const { browser, ended } = await opened();
    const session = await browser.newBrowserCDPSession();
    await session.send('Browser.close');
    await ended;
  }, patience(1));
  afterAll(() => void server?.close());

  /** A browser of our own, since it has to be killed with all its processes. */
  async function started() {
    const child = spawn(
      await ensureChromium(),
      [...flags, '--headless=new', '--remote-debugging-port=0', `--user-data-dir=${profile}`],
      { detached: true, stdio: ['ignore', 'ignore', 'pipe'] },
    );
    const ended = new Promise((resolve) => child.once('close', resolve));
    const kill = () => void process.kill(-(child.pid as number), 'SIGKILL');
    const lines = createInterface({ input: child.stderr });
    const address = await new Promise<string>((resolve) => {
      lines.on('line', (line) => {
        const [, found] = /^DevTools listening on (\S+)$/.exec(line) ?? [];
        if (found !== undefined) resolve(found);
      });
    });
    return { address, kill, ended };
  }

  /** Killed often enough, a browser now and then starts without ever answering: then another is started. */
  async function opened() {
    for (let tries = 1; ; tries++) {
      const { address, kill, ended } = await started();
      try {
        const browser = await chromium.connectOverCDP(address, { timeout: 15_000 });
        const page = await (browser.contexts()[0] ?? (await browser.newContext())).newPage();
        await page.goto(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`);
        return { browser, page, kill, ended };
      } catch (error) {
        kill();
        await ended;
        if (tries === 4) throw error;
      }
    }
  }

  it(
    'holds every confirmed batch, and none by half',
    async () => {
      const size = await killAgainAndAgain(
        kills,
        async (first) => {
          const { page, kill, ended } = await opened();
          const confirmed: number[] = [];
          const isNumber = (message: ConsoleMessage) => /^\d+$/.test(message.text());
          page.on('console', (message) => {
            if (isNumber(message)) confirmed.push(Number(message.text()));
          });
          const begun = page.waitForEvent('console', { predicate: isNumber });
          page.evaluate((from) => globalThis.appendBatches(from), first).catch(() => undefined);
          return { confirmed, begun, ended, kill };
        },
        async () => {
          const { page, kill, ended } = await opened();
          const found = await page.evaluate(() => globalThis.batchesKept());
          kill();
          await ended;
          if (found.length === 0)
            throw new Error(`the browser holds no journal any more:\n${logsOf(profile)}`);
          return found;
        },
      );
      expect(size).toBeGreaterThan(kills);
    },
    patience(kills),
  );
});
