/**
 * What a push is measured against: the same rows put into the same table by a plain insert, as many in a transaction,
 * each forced to the disk, with as many in flight: no HTTP, no JSON read, nothing checked, no id looked up, and on
 * PostgreSQL no turn to wait for. SQLite has one writer, whose calls block: there it is one connection.
 */
import { join } from 'node:path';
import { type Entry, lineOf } from '@brinewright/journal';
import Libsql from 'libsql';
import pg from 'pg';

export interface Bare {
  /** So many may write at once. */
  readonly connections: number;
  write(batch: readonly Entry[]): Promise<number>;
  close(): Promise<void>;
}

/** The store's own table, with its indexes. */
const TABLE = `
  create table entry (seq bigint primary key, id text not null unique, tank text not null, line text not null);
  create index entry_by_tank on entry (tank, seq)`;

export function bareSqlite(folder: string): Bare {
  const db = new Libsql(join(folder, 'bare.sqlite'));
  db.pragma('journal_mode = WAL');
  db.pragma('synchronous = FULL');
  db.exec(TABLE);
  const insert = db.prepare(
    'insert into entry (seq, id, tank, line) select ?1 + key, value->>0, value->>1, value->>2 from json_each(?2)',
  );
  let seq = 1;
  return {
    connections: 1,
    write: async (batch) => {
      const rows = JSON.stringify(batch.map((entry) => [entry.id, entry.tank, lineOf(entry)]));
      db.exec('begin immediate');
      insert.run(seq, rows);
      db.exec('commit');
      seq += batch.length;
      return batch.length;
    },
    close: async () => void db.close(),
  };
}

export async function barePostgres(url: string, connections: number): Promise<Bare> {
  const pool = new pg.Pool({ connectionString: url, max: connections });
  // Whoever stops the database breaks connections that rest.
  pool.on('error', () => undefined);
  await pool.query(TABLE);
  const text = `
    insert into entry (seq, id, tank, line)
    select $1::bigint + place, id, tank, line
    from rows from (json_to_recordset($2::json) as (id text, tank text, line text))
      with ordinality as given (id, tank, line, place)`;
  let seq = 0;
  return {
    connections,
    write: async (batch) => {
      const rows = batch.map((entry) => ({ id: entry.id, tank: entry.tank, line: lineOf(entry) }));
      const first = seq;
      seq += batch.length;
      await pool.query({ name: 'insert', text, values: [first, JSON.stringify(rows)] });
      return batch.length;
    },
    close: () => pool.end(),
  };
}
