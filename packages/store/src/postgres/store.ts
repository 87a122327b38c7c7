import {
  type Appended,
  type Entry,
  type EntryId,
  type JournalStore,
  lineOf,
  type Page,
  type ReadQuery,
  type TankId,
} from '@brinewright/journal';
import pg from 'pg';
import { type HeadRow, headsOf, pageOf, settled } from '../page.ts';
import { sift } from '../sift.ts';
import { type Applied, bookkeeping, noteMigration, pending } from '../sql/migrate.ts';
import { newestOfTanks } from '../sql/queries.ts';

export { LayoutError } from '../sql/migrate.ts';

/**
 * Name of the lock that writers take in turn. A place in the order of arrival is given under it and holds until the
 * commit is seen, so that no reader can pass by an entry that was placed earlier but committed later.
 */
const WRITERS = 0x6272_696e;

/**
 * A journal in a PostgreSQL database (15 and later, UTF-8). Any number of programs may share it.
 * @param connectionString as `DATABASE_URL` gives it
 * @throws LayoutError where the database was written by a newer version of the program
 */
export async function postgresStore(connectionString: string): Promise<JournalStore> {
  const pool = new pg.Pool({ connectionString });
  // An idle connection that breaks is replaced by the pool; the calls that need one report what is wrong.
  pool.on('error', () => undefined);
  try {
    await inTransaction(pool, migrate);
  } catch (error) {
    await pool.end();
    throw error;
  }
  return {
    append: (entries) => inTransaction(pool, (client) => append(client, entries)),
    read: (query = {}) => read(pool, query),
    tanks: async () => {
      const { rows } = await pool.query<{ tank: TankId }>(
        'select tank from entry group by tank order by tank collate "C"',
      );
      return rows.map(({ tank }) => tank);
    },
    heads: async () => headsOf((await pool.query<HeadRow>(newestOfTanks)).rows),
    lacking: async (ids) => {
      const { rows } = await pool.query<{ id: EntryId }>('select id from entry where id = any($1)', [ids]);
      const kept = new Set(rows.map(({ id }) => id));
      return ids.filter((id) => !kept.has(id));
    },
    count: async () => {
      const { rows } = await pool.query<{ count: string }>('select count(*) as count from entry');
      return Number(rows[0]?.count);
    },
    close: async () => {
      if (!pool.ended) await pool.end();
    },
  };
}

/** Work of a writer: alone, all or nothing, and on the disk when it returns. */
async function inTransaction<T>(pool: pg.Pool, work: (client: pg.PoolClient) => Promise<T>): Promise<T> {
  const client = await pool.connect();
  let failure: Error | undefined;
  try {
    await client.query('begin');
    await client.query('set local synchronous_commit = on');
    await client.query('select pg_advisory_xact_lock($1)', [WRITERS]);
    const result = await work(client);
    await client.query('commit');
    return result;
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

async function append(client: pg.PoolClient, entries: readonly Entry[]): Promise<Appended> {
  const kept = await client.query<{ id: string; line: string }>(
    'select id, line from entry where id = any($1)',
    [entries.map(({ id }) => id)],
  );
  const lines = new Map(kept.rows.map(({ id, line }) => [id, line]));
  const { fresh, known } = sift(entries, (id) => lines.get(id));
  await client.query(
    `insert into entry (seq, id, tank, line)
     select (select coalesce(max(seq), 0) from entry) + place, id, tank, line
     from unnest($1::text[], $2::text[], $3::text[]) with ordinality as given (id, tank, line, place)`,
    [fresh.map(({ id }) => id), fresh.map(({ tank }) => tank), fresh.map(lineOf)],
  );
  return { added: fresh.map(({ id }) => id), known };
}

async function read(pool: pg.Pool, query: ReadQuery): Promise<Page> {
  const { since, limit } = settled(query);
  const inTank = query.tank === undefined ? '' : 'and tank = $3';
  const { rows } = await pool.query<{ seq: string; line: string }>(
    `select seq, line from entry where seq > $1 ${inTank} order by seq limit $2`,
    [since, limit + 1, ...(query.tank === undefined ? [] : [query.tank])],
  );
  // The driver gives 64-bit integers as text; a place is far below the largest exact number.
  return pageOf(
    rows.map(({ seq, line }) => ({ seq: Number(seq), line })),
    limit,
    since,
  );
}

async function migrate(client: pg.PoolClient): Promise<void> {
  await client.query(bookkeeping);
  const { rows } = await client.query<Applied>('select number, name from journal_migration order by number');
  for (const { number, name, sql } of pending('postgres', rows)) {
    await client.query(sql);
    await client.query(noteMigration, [number, name]);
  }
}
