import { type Entry, newTankId, type TankId } from '@brinewright/journal';
import { conformanceCases } from '@brinewright/store/conformance';
import { postgresStore } from '@brinewright/store/postgres';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { batch } from './support/batches.ts';
import { type Cluster, startCluster, withClient } from './support/postgres.ts';
import { impatient, SHARDS, spreadByTank, withOneShard } from './support/shards.ts';

// A busy machine may take its time to force things to the disk.
vi.setConfig({ testTimeout: 60_000 });

let cluster: Cluster;

beforeAll(async () => {
  cluster = await startCluster();
}, 300_000);

afterAll(() => cluster?.stop(), 60_000);

/** A database with the entries spread by tank. */
async function spreadDatabase(): Promise<string> {
  const url = await cluster.database();
  await (await postgresStore(url)).close();
  expect(await spreadByTank(url)).toEqual(['entry']);
  return url;
}

describe('journal store in PostgreSQL, its entries spread by tank', () => {
  for (const { name, run } of conformanceCases) {
    it(name, async () => {
      const url = await spreadDatabase();
      await run({ open: () => postgresStore(url) });
    });
  }

  it('refuses to change, delete or empty the entries, and has a tank in one part', async () => {
    const url = await spreadDatabase();
    const store = await postgresStore(url);
    const tanks = Array.from({ length: 20 }, (_, n) => newTankId(n, new Uint8Array(10)));
    for (const [n, tank] of tanks.entries())
      for (const more of [0, 20]) await store.append(batch(n + more).map((entry) => ({ ...entry, tank })));
    await store.close();
    await withClient(url, async (client) => {
      for (const sql of ["update entry set line = 'x'", 'delete from entry', 'truncate entry'])
        await expect(client.query(sql)).rejects.toThrow(/entries never change and are never deleted/);
      const { rows } = await client.query<{ parts: string }>(
        'select count(distinct tableoid) as parts from entry group by tank',
      );
      expect(rows).toEqual(Array(20).fill({ parts: '1' }));
      expect((await client.query('select distinct tableoid from entry')).rowCount).toBe(SHARDS);
    });
  });

  it('appends to a tank and reads it while all other parts are shut away', async () => {
    const url = await spreadDatabase();
    const store = await postgresStore(impatient(url));
    const [first, second, third, fourth] = [1, 2, 3, 4].map(batch) as [Entry[], Entry[], Entry[], Entry[]];
    const ids = (entries: readonly Entry[]) => entries.map(({ id }) => id);
    const tank = first[0]?.tank as TankId;
    await store.append(first);
    await withOneShard(url, ['entry'], async () => {
      expect(await store.append(second)).toEqual({ added: ids(second), known: [] });
      expect(await store.append([...second, ...third])).toEqual({ added: ids(third), known: ids(second) });
      expect((await store.read({ tank })).entries).toEqual([...first, ...second, ...third]);
      expect(await store.lacking(tank, ids([...third, ...fourth]))).toEqual(ids(fourth));
      await expect(store.tanks()).rejects.toThrow(/lock timeout/);
    });
    expect(await store.tanks()).toEqual([tank]);
    await store.close();
  });
});
