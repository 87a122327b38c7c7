import {
  type EntryId,
  type JournalStore,
  newEntryId,
  newTankId,
  type Page,
  START,
  type TankId,
} from '@brinewright/journal';
import { conformanceCases } from '@brinewright/store/conformance';
import { postgresStore } from '@brinewright/store/postgres';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { expectCarriedOver, oldenSql } from './support/olden.ts';
import { type Cluster, startCluster, withClient } from './support/postgres.ts';

// A busy machine may take its time to force things to the disk.
vi.setConfig({ testTimeout: 60_000 });

let cluster: Cluster;

beforeAll(async () => {
  cluster = await startCluster();
}, 300_000);

afterAll(() => cluster?.stop());

describe('journal store in PostgreSQL', () => {
  for (const { name, run } of conformanceCases) {
    it(name, async () => {
      const url = await cluster.database();
      await run({ open: () => postgresStore(url) });
    });
  }

  it('lets no reader pass by an entry that is placed but not yet committed', async () => {
    const url = await cluster.database();
    const stores = await Promise.all(Array.from({ length: 4 }, () => postgresStore(url)));
    const tanks = [0, 1, 2].map((n) => newTankId(n, new Uint8Array(10)));
    const note = (n: number, tank: TankId) => {
      const id = newEntryId(n, new Uint8Array(10).fill(4));
      return { id, tank, at: '2026-03-01T08:00:00Z', kind: 'note' as const, body: { text: String(n) } };
    };
    let writing = true;
    // Each writes to all tanks at once, beginning with another: none may wait for one that waits for it.
    const writers = stores.map(async (store, w) => {
      const turned = [...tanks.slice(w % 3), ...tanks.slice(0, w % 3)];
      for (let i = 0; i < 25; i++)
        await store.append(
          turned.flatMap((tank) => [note(w * 1000 + 2 * i, tank), note(w * 1000 + 2 * i + 1, tank)]),
        );
    });
    const done = Promise.all(writers).then(() => {
      writing = false;
    });
    const readers = tanks.map(async (tank) => {
      const seen: EntryId[] = [];
      let since = START;
      for (let last = false; !last; ) {
        last = !writing;
        const page: Page = await (stores[0] as JournalStore).read({ tank, since, limit: 3 });
        seen.push(...page.entries.map(({ id }) => id));
        since = page.cursor;
        last &&= !page.more;
      }
      return seen;
    });
    await done;
    for (const seen of await Promise.all(readers)) {
      expect(seen).toHaveLength(200);
      expect(new Set(seen).size).toBe(200);
    }
    await Promise.all(stores.map((store) => store.close()));
  });

  it('can be opened by many programs at once when it is still empty', async () => {
    const url = await cluster.database();
    const stores = await Promise.all(Array.from({ length: 8 }, () => postgresStore(url)));
    expect(await Promise.all(stores.map((store) => store.count()))).toEqual(Array(8).fill(0));
    await Promise.all(stores.map((store) => store.close()));
  });
});

describe('the layout of the PostgreSQL database', () => {
  it('has the columns, indexes and functions of the committed one', async () => {
    const url = await cluster.database();
    await (await postgresStore(url)).close();
    const dump = await withClient(url, async (client) => {
      const { rows: columns } = await client.query(
        `select table_name || '.' || column_name || ' ' || data_type || ' ' || is_nullable as line
         from information_schema.columns where table_schema = 'public' order by table_name, ordinal_position`,
      );
      const { rows: indexes } = await client.query(
        `select indexdef as line from pg_indexes where schemaname = 'public' order by indexname`,
      );
      const { rows: triggers } = await client.query(
        'select pg_get_triggerdef(oid) as line from pg_trigger where not tgisinternal order by tgname',
      );
      const { rows: functions } = await client.query(
        `select pg_get_functiondef(oid) as line from pg_proc
         where pronamespace = 'public'::regnamespace order by proname`,
      );
      return [...columns, ...indexes, ...triggers, ...functions].map(({ line }) => `${line}\n`).join('');
    });
    await expect(dump).toMatchFileSnapshot('./schema.postgres.txt');
  });

  it('refuses to change, delete or empty the entries', async () => {
    const url = await cluster.database();
    await (await postgresStore(url)).close();
    await withClient(url, async (client) => {
      await client.query("insert into entry (tank, place, id, line) values ('t', 1, 'a', '{}')");
      for (const sql of ["update entry set line = 'x'", 'delete from entry', 'truncate entry']) {
        await expect(client.query(sql)).rejects.toThrow(/entries never change and are never deleted/);
      }
    });
  });

  it('is brought forward from where it stands, with all that is kept in it', async () => {
    const url = await cluster.database();
    await withClient(url, (client) => client.query(oldenSql('postgres')));
    const store = await postgresStore(url);
    await expectCarriedOver(store);
    await store.close();
    await withClient(url, async (client) => {
      await expect(client.query('delete from entry')).rejects.toThrow(/entries never change/);
    });
  });

  it('is left alone when a newer program wrote it', async () => {
    const url = await cluster.database();
    await (await postgresStore(url)).close();
    await withClient(url, (client) => client.query("insert into journal_migration values (7, 'moon_phase')"));
    await expect(postgresStore(url)).rejects.toThrow(
      /newer version of the program \(layout 7; this one knows 4\)/,
    );
  });
});
