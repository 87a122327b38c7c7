import {
  type EntryId,
  type JournalStore,
  lineOf,
  type Page,
  type ReadQuery,
  type TankId,
} from '@brinewright/journal';
import pg from 'pg';
import { type HeadRow, headsOf, pageOf, type Row, settled } from '../page.ts';
import { keyOf } from '../sift.ts';
import { type EntryTable, inOrderOfTanks, keepEach } from '../sql/keep.ts';
import { type Applied, bookkeeping, noteMigration, pending } from '../sql/migrate.ts';
import { allTanks, newestOfTanks } from '../sql/queries.ts';
import { together } from '../sql/together.ts';
import { textArray } from './arrays.ts';

export { LayoutError } from '../sql/migrate.ts';

/** Name of the lock under which the database is laid out. */
const LAYOUT = 0x6272_696e;

/** Transactions that append at once. */
const LANES = 4;

/** A database that went away without a word is not waited for forever: whoever asked is told, and asks again. ms */
export const patience = { connectionTimeoutMillis: 10_000, query_timeout: 30_000, keepAlive: true } as const;

/**
 * A journal in a PostgreSQL database (15 and later, UTF-8). Any number of programs may share it.
 * @param connectionString as `DATABASE_URL` gives it
 * @throws LayoutError where the database was written by a newer version of the program
 */
export async function postgresStore(connectionString: string): Promise<JournalStore> {
  const pool = new pg.Pool({ connectionString, ...patience });
  // A connection that breaks, idle or in use, is replaced by the pool; the calls that need one report what is wrong.
  pool.on('error', () => undefined);
  pool.on('connect', (client) => client.on('error', () => undefined));
  try {
    await laidOut(pool);
  } catch (error) {
    await pool.end();
    throw error;
  }
  const table = tableOf(pool);
  const { append, idle } = together((callers) => keepEach(table, callers), LANES);
  return {
    append: async (entries) => {
      if (pool.ending) throw new Error('the store is closed');
      return append(entries);
    },
    read: (query) => read(pool, query),
    tanks: async () => {
      const { rows } = await pool.query<{ tank: TankId }>(`${allTanks} order by tank collate "C"`);
      return rows.map(({ tank }) => tank);
    },
    heads: async () => headsOf((await pool.query<HeadRow>(newestOfTanks)).rows),
    lacking: async (tank, ids) => {
      const { rows } = await pool.query<{ id: EntryId }>({
        name: 'journal-lacking',
        text: 'select id from entry where tank = $1 and id = any($2)',
        values: [tank, textArray(ids)],
      });
      const kept = new Set(rows.map(({ id }) => id));
      return ids.filter((id) => !kept.has(id));
    },
    count: async () => {
      const { rows } = await pool.query<{ count: string }>('select count(*) as count from entry');
      return Number(rows[0]?.count);
    },
    close: async () => {
      await idle();
      if (!pool.ending) await pool.end();
    },
  };
}

function tableOf(pool: pg.Pool): EntryTable {
  return {
    putIn: async (entries) => {
      if (entries.length === 0) return true;
      const groups = inOrderOfTanks(entries);
      const all = groups.flatMap(([, own]) => own);
      try {
        await pool.query({
          name: 'journal-append',
          text: 'select entry_append($1, $2, $3, $4)',
          values: [
            textArray(groups.map(([tank]) => tank)),
            groups.map(([, own]) => own.length),
            textArray(all.map(({ id }) => id)),
            textArray(all.map(lineOf)),
          ],
        });
        return true;
      } catch (error) {
        if (error instanceof pg.DatabaseError && error.code === TAKEN) return false;
        throw error;
      }
    },
    linesOf: async (entries) => {
      const found = inOrderOfTanks(entries).map(async ([tank, own]) => {
        const ids = textArray(own.map(({ id }) => id));
        const { rows } = await pool.query<{ id: EntryId; line: string }>({
          name: 'journal-kept',
          text: 'select id, line from entry where tank = $1 and id = any($2)',
          values: [tank, ids],
        });
        return rows.map(({ id, line }) => [keyOf({ tank, id }), line] as const);
      });
      return new Map((await Promise.all(found)).flat());
    },
  };
}

/** A key is in use already (SQLSTATE, "unique_violation"). */
const TAKEN = '23505';

async function read(pool: pg.Pool, query: ReadQuery): Promise<Page> {
  const { since, limit } = settled(query);
  const { rows } = await pool.query<Row>({
    name: 'journal-read',
    text: 'select place, line from entry where tank = $1 and place > $2 order by place limit $3',
    values: [query.tank, since, limit + 1],
  });
  return pageOf(rows, limit, since);
}

/** Lays the database out: one program at a time, all or nothing. */
async function laidOut(pool: pg.Pool): Promise<void> {
  const client = await pool.connect();
  let failure: Error | undefined;
  try {
    // The lock is a statement of its own: the ones after it see all that was committed before it was had.
    await client.query(`begin; select pg_advisory_xact_lock(${LAYOUT})`);
    await migrate(client);
    await client.query('commit');
  } catch (error) {
    await client.query('rollback').catch((broken: Error) => {
      failure = broken;
    });
    throw error;
  } finally {
    // A connection that could not even roll back is thrown away.
    client.release(failure);
  }
}

async function migrate(client: pg.PoolClient): Promise<void> {
  await client.query(bookkeeping);
  const { rows } = await client.query<Applied>('select number, name from journal_migration order by number');
  for (const { number, name, sql } of pending('postgres', rows)) {
    await client.query(sql);
    await client.query(noteMigration, [number, name]);
  }
}
