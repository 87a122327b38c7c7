import { createHash } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseJournal } from '@brinewright/journal';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { clusterOrNone } from './support/postgres.ts';
import { builtProgram, type Running, startProgram } from './support/program.ts';
import { note, notes, tankOf } from './support/tanks.ts';

const cluster = await clusterOrNone();

let program: string;
let data: string;
let running: Running | undefined;

beforeAll(async () => {
  program = await builtProgram();
});
beforeEach(() => {
  data = mkdtempSync(join(tmpdir(), 'brinewright-faults-'));
});
afterEach(async () => {
  running?.process.kill('SIGKILL');
  await running?.ended;
  rmSync(data, { recursive: true, force: true });
});
afterAll(async () => {
  await cluster?.stop();
  const folder = dirname(dirname(dirname(fileURLToPath(new URL(`../../../${program}`, import.meta.url)))));
  rmSync(folder, { recursive: true, force: true });
});

const push = (address: string, tank: string, entries: readonly object[]) =>
  fetch(`${address}api/tanks/${tank}/entries`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ entries }),
  });

const keptIds = async (address: string): Promise<ReadonlySet<string>> => {
  const file = await (await fetch(`${address}api/journal`)).text();
  return new Set(parseJournal(file, { strict: true }).entries.map(({ id }) => id));
};

describe('a server that is killed while entries are handed over', () => {
  it('has every entry it acknowledged, and no batch in part', async () => {
    const acknowledged: string[] = [];
    const batches: string[][] = [];
    for (const [round, most] of [40, 170, 90].entries()) {
      const before = acknowledged.length;
      running = await startProgram(program, ['--data', data]);
      const { address, process: child } = running;
      let alive = true;
      const pushers = [0, 1, 2].map(async (n) => {
        const tank = tankOf(10 * round + n);
        for (let i = 0; alive; i += 7) {
          const batch = notes(tank, i, i + 7);
          batches.push(batch.map(({ id }) => id));
          const answer = await push(address, tank, batch)
            .then((response) => response.json())
            .catch(() => undefined);
          if (answer === undefined) return;
          acknowledged.push(...answer.added);
          // In the middle of what the others are handing over.
          if (acknowledged.length - before >= most) child.kill('SIGKILL');
        }
      });
      await running.ended;
      alive = false;
      await Promise.all(pushers);
    }
    running = await startProgram(program, ['--data', data]);
    const kept = await keptIds(running.address);
    expect(acknowledged.length).toBeGreaterThanOrEqual(300);
    expect(acknowledged.filter((id) => !kept.has(id))).toEqual([]);
    for (const batch of batches) expect([0, 7]).toContain(batch.filter((id) => kept.has(id)).length);
  }, 60_000);
});

describe('a server whose disk is full', () => {
  it('says that it failed, keeps what it acknowledged, and goes on when there is room again', async () => {
    // A limit on the size of files stands for the disk: it needs no rights, and the writes fail alike.
    running = await startProgram(program, ['--data', data], {}, 1500);
    const { address } = running;
    const tank = tankOf(1);
    const acknowledged: string[] = [];
    let failure: Response | undefined;
    for (let i = 0; i < 200 && failure === undefined; i++) {
      const entry = { ...note(tank, i), body: { text: 'x'.repeat(50_000) } };
      const response = await push(address, tank, [entry]);
      if (response.status === 200) acknowledged.push(entry.id);
      else failure = response;
    }
    expect(failure?.status).toBe(500);
    expect(failure?.headers.get('content-type')).toBe('application/problem+json');
    expect(acknowledged.length).toBeGreaterThan(0);
    expect((await fetch(`${address}api/tanks`)).status).toBe(200);
    expect(await keptIds(address)).toEqual(new Set(acknowledged));
    running.process.kill('SIGTERM');
    await running.ended;
    running = await startProgram(program, ['--data', data]);
    expect(await keptIds(running.address)).toEqual(new Set(acknowledged));
    expect((await push(running.address, tank, [note(tank, 1000)])).status).toBe(200);
  }, 60_000);
});

describe.skipIf(cluster === undefined)(
  'a server whose database is killed and started again under load',
  () => {
    it('says that it failed, has every entry it acknowledged and no batch in part, and goes on', async () => {
      const DATABASE_URL = (await cluster?.database()) ?? '';
      running = await startProgram(program, ['--data', data], { DATABASE_URL });
      const { address } = running;
      const acknowledged: string[] = [];
      const batches: string[][] = [];
      const statuses = new Set<number>();
      let restarted = false;
      const pushers = [0, 1, 2].map(async (n) => {
        const tank = tankOf(n);
        // Each goes on until several batches were taken in again.
        let after = 0;
        for (let i = 0; after < 4; i += 7) {
          const batch = notes(tank, i, i + 7);
          batches.push(batch.map(({ id }) => id));
          const response = await push(address, tank, batch);
          statuses.add(response.status);
          const answer = await response.json();
          if (response.status !== 200) continue;
          acknowledged.push(...answer.added);
          if (restarted) after += 1;
        }
      });
      for (let crash = 1; crash <= 3; crash++) {
        await expect.poll(() => acknowledged.length, { timeout: 60_000 }).toBeGreaterThan(70 * crash);
        await cluster?.crash();
      }
      restarted = true;
      await Promise.all(pushers);
      expect([...statuses].sort()).toEqual([200, 500]);
      const kept = await keptIds(address);
      expect(acknowledged.filter((id) => !kept.has(id))).toEqual([]);
      for (const batch of batches) expect([0, 7]).toContain(batch.filter((id) => kept.has(id)).length);
      // The slow work goes on too: what was handed over is reckoned.
      const rounds = async () =>
        (await (await fetch(`${address}api/rounds`)).json()) as { current: boolean }[];
      await expect
        .poll(async () => (await rounds()).map(({ current }) => current), { timeout: 60_000, interval: 500 })
        .toEqual([true, true, true]);
    }, 240_000);
  },
);

describe.skipIf(cluster === undefined)('a server whose database has no room left', () => {
  it('says that it failed, goes on reading, and has what it acknowledged', async () => {
    // A segment of the write-ahead log takes 16 MiB.
    const small = await clusterOrNone({ mostKilobytes: 17_000 });
    try {
      const DATABASE_URL = (await small?.database()) ?? '';
      running = await startProgram(program, ['--data', data], { DATABASE_URL });
      const { address } = running;
      const tank = tankOf(1);
      const acknowledged: string[] = [];
      let failure: Response | undefined;
      for (let i = 0; i < 200 && failure === undefined; i++) {
        const entry = { ...note(tank, i), body: { text: incompressible(i, 200_000) } };
        const response = await push(address, tank, [entry]);
        if (response.status === 200) acknowledged.push(entry.id);
        else failure = response;
      }
      expect(failure?.status).toBe(500);
      expect(failure?.headers.get('content-type')).toBe('application/problem+json');
      expect(acknowledged.length).toBeGreaterThan(10);
      expect(await keptIds(address)).toEqual(new Set(acknowledged));
      expect((await fetch(`${address}api/tanks`)).status).toBe(200);
    } finally {
      await small?.stop();
    }
  }, 120_000);
});

/** Text that a database cannot make smaller, the same each time. */
function incompressible(seed: number, length: number): string {
  let text = '';
  for (let n = 0; text.length < length; n++)
    text += createHash('sha512').update(`${seed} ${n}`).digest('base64url');
  return text.slice(0, length);
}
