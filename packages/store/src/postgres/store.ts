import {
  type Entry,
  EntryClash,
  type EntryId,
  type JournalStore,
  lineOf,
  type Page,
  type ReadQuery,
  type TankId,
} from '@brinewright/journal';
import pg from 'pg';
import { type HeadRow, headsOf, pageOf, settled } from '../page.ts';
import { type Outcome, siftEach } from '../sift.ts';
import { type Applied, bookkeeping, noteMigration, pending } from '../sql/migrate.ts';
import { allTanks, newestOfTanks } from '../sql/queries.ts';
import { together } from '../sql/together.ts';

export { LayoutError } from '../sql/migrate.ts';

/**
 * Name of the lock that writers take in turn. A place in the order of arrival is given under it and holds until the
 * commit is seen, so that no reader can pass by an entry that was placed earlier but committed later.
 */
const WRITERS = 0x6272_696e;

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
    await inTransaction(pool, migrate);
  } catch (error) {
    await pool.end();
    throw error;
  }
  const { append, idle } = together((callers) => keepEach(pool, callers));
  return {
    append: async (entries) => {
      if (pool.ending) throw new Error('the store is closed');
      return append(entries);
    },
    read: (query = {}) => read(pool, query),
    tanks: async () => {
      const { rows } = await pool.query<{ tank: TankId }>(`${allTanks} order by tank collate "C"`);
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
      await idle();
      if (!pool.ending) await pool.end();
    },
  };
}

/** The lock is a statement of its own: the ones after it see all that was committed before it was had. */
const BEGIN = `begin; set local synchronous_commit = on; select pg_advisory_xact_lock(${WRITERS})`;

/** Work of a writer: alone, all or nothing, and on the disk when it returns. */
async function inTransaction<T>(pool: pg.Pool, work: (client: pg.PoolClient) => Promise<T>): Promise<T> {
  const client = await pool.connect();
  let failure: Error | undefined;
  try {
    await client.query(BEGIN);
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

async function keepEach(pool: pg.Pool, callers: readonly (readonly Entry[])[]): Promise<readonly Outcome[]> {
  // Nearly always nothing of it is there yet: then one statement puts it in, and looking was not needed.
  const hoped = siftEach(callers, () => undefined);
  const inOrder = !hoped.outcomes.some((outcome) => outcome instanceof EntryClash);
  if (inOrder && (await insert(pool, hoped.fresh)) === hoped.fresh.length) return hoped.outcomes;
  return inTransaction(pool, async (client) => {
    const { rows } = await client.query<{ id: string; line: string }>({
      name: 'journal-kept',
      text: 'select id, line from entry where id = any($1)',
      values: [callers.flatMap((entries) => entries.map(({ id }) => id))],
    });
    const lines = new Map(rows.map(({ id, line }) => [id, line]));
    const { fresh, outcomes } = siftEach(callers, (id) => lines.get(id));
    await insert(client, fresh);
    return outcomes;
  });
}

/** Puts all of the entries in, or none where any is there; tells how many. Outside a transaction it is one of its own. */
async function insert(client: pg.Pool | pg.PoolClient, entries: readonly Entry[]): Promise<number> {
  if (entries.length === 0) return 0;
  // As one JSON text: the driver writes arrays of text an element at a time.
  const given = JSON.stringify(
    entries.map((entry) => ({ id: entry.id, tank: entry.tank, line: lineOf(entry) })),
  );
  const { rows } = await client.query<{ added: string }>({
    name: 'journal-append',
    text: 'select entry_append($1, $2) as added',
    values: [WRITERS, given],
  });
  return Number(rows[0]?.added);
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
