import Libsql from 'libsql';
import type { Database, Sql, Value } from './database.ts';
import { migrate } from './migrate.ts';

/** How long one process waits for another that is writing, ms. */
const PATIENCE = 10_000;

/** Does work when it is its turn, one after another. */
export type Turns = <T>(work: () => Promise<T>) => Promise<T>;

/**
 * The server's own tables, in the same file as the journal.
 * @param turns taken with every other connection of this process to the file: it has one lock, and waiting for it lets
 *   nothing else run
 * @throws LayoutError where the file was written by a newer version of the program
 */
export async function sqliteDatabase(path: string, turns: Turns): Promise<Database> {
  const db = new Libsql(path, { timeout: PATIENCE });
  const plain = sqlOn(db);
  const database: Database = {
    engine: 'sqlite',
    all: (sql, ...values) => turns(() => plain.all(sql, ...values)),
    run: (sql, ...values) => turns(() => plain.run(sql, ...values)),
    script: (text) => turns(() => plain.script(text)),
    transaction: (work) =>
      turns(() => inTransaction(db, () => work({ ...plain, lock: async () => undefined }))),
    close: () =>
      turns(async () => {
        if (db.open) db.close();
      }),
  };
  try {
    db.pragma('journal_mode = WAL');
    db.pragma('synchronous = FULL');
    db.pragma('foreign_keys = ON');
    await database.transaction((sql) => migrate('sqlite', sql));
  } catch (error) {
    db.close();
    throw error;
  }
  return database;
}

function sqlOn(db: Libsql.Database): Sql {
  const prepared = new Map<string, Libsql.Statement>();
  const prepare = (sql: string): Libsql.Statement => {
    // The driver must not be touched once closed.
    if (!db.open) throw new Error('the database is closed');
    const known = prepared.get(sql);
    if (known !== undefined) return known;
    const statement = db.prepare(sql.replaceAll(/\$(?=\d)/g, '?'));
    prepared.set(sql, statement);
    return statement;
  };
  return {
    all: async <T extends object>(sql: string, ...values: readonly Value[]) =>
      prepare(sql).all(...values) as readonly T[],
    run: async (sql, ...values) => prepare(sql).run(...values).changes,
    script: async (text) => void db.exec(text),
  };
}

async function inTransaction<T>(db: Libsql.Database, work: () => Promise<T>): Promise<T> {
  db.exec('begin immediate');
  try {
    const result = await work();
    db.exec('commit');
    return result;
  } catch (error) {
    // After some failures, a full disk among them, the engine has rolled back already.
    if (db.inTransaction) db.exec('rollback');
    throw error;
  }
}

/** One after another: a statement from elsewhere must not slip into a transaction that is waiting for something. */
export function takeTurns(): Turns {
  let last: Promise<unknown> = Promise.resolve();
  return (work) => {
    const turn = last.then(work);
    last = turn.catch(() => undefined);
    return turn;
  };
}
