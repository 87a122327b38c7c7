import { patience } from '@brinewright/store/postgres';
import pg from 'pg';
import type { Database, Sql, Transaction, Value } from './database.ts';
import { migrate } from './migrate.ts';

/** First half of the names of our locks. */
const SERVER = 0x7365_7276;

/** 64-bit integers as numbers: what we keep in them (instants, places, counts) is far below 2⁵³. */
const types: pg.CustomTypesConfig = {
  getTypeParser: ((id: number, format?: 'text' | 'binary') =>
    id === pg.types.builtins.INT8
      ? Number
      : pg.types.getTypeParser(id, format)) as typeof pg.types.getTypeParser,
};

/**
 * The server's own tables in a PostgreSQL database (15 and later), which any number of processes may share.
 * @throws LayoutError where the database was written by a newer version of the program
 */
export async function postgresDatabase(connectionString: string): Promise<Database> {
  const pool = new pg.Pool({ connectionString, types, ...patience });
  // A connection that breaks is replaced by the pool; the calls that need one report what is wrong.
  pool.on('error', () => undefined);
  pool.on('connect', (client) => client.on('error', () => undefined));
  const database: Database = {
    engine: 'postgres',
    ...sqlOn(pool),
    transaction: (work) => inTransaction(pool, work),
    close: async () => {
      if (!pool.ended) await pool.end();
    },
  };
  try {
    await database.transaction(async (sql) => {
      await sql.lock('layout');
      await migrate('postgres', sql);
    });
  } catch (error) {
    await pool.end();
    throw error;
  }
  return database;
}

const sqlOn = (client: pg.Pool | pg.PoolClient): Sql => ({
  all: async <T extends object>(sql: string, ...values: readonly Value[]) =>
    (await client.query(sql, [...values])).rows as readonly T[],
  run: async (sql, ...values) => (await client.query(sql, [...values])).rowCount ?? 0,
  script: async (text) => void (await client.query(text)),
});

async function inTransaction<T>(pool: pg.Pool, work: (sql: Transaction) => Promise<T>): Promise<T> {
  const client = await pool.connect();
  let broken: Error | undefined;
  try {
    await client.query('begin');
    const sql = sqlOn(client);
    const lock = async (name: string): Promise<void> => {
      await sql.all('select pg_advisory_xact_lock($1, hashtext($2))', SERVER, name);
    };
    const result = await work({ ...sql, lock });
    await client.query('commit');
    return result;
  } catch (error) {
    await client.query('rollback').catch((fault: Error) => {
      broken = fault;
    });
    throw error;
  } finally {
    client.release(broken);
  }
}
