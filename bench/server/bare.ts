/**
 * What a push is measured against: the same rows put into the same table by the same statement, as many in a
 * transaction, by one connection that has nothing else to do: no HTTP, no JSON read, nothing checked, no id looked up.
 * SQLite forces each transaction to the disk; PostgreSQL does what its cluster does.
 */
import { join } from 'node:path';
import { type Entry, lineOf } from '@brinewright/journal';
import Libsql from 'libsql';
import pg from 'pg';

export interface Bare {
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

export async function barePostgres(url: string): Promise<Bare> {
  const client = new pg.Client(url);
  await client.connect();
  await client.query(TABLE);
  const text = `
    insert into entry (seq, id, tank, line)
    select $1::bigint + place, id, tank, line
    from rows from (json_to_recordset($2::json) as (id text, tank text, line text))
      with ordinality as given (id, tank, line, place)`;
  let seq = 0;
  return {
    write: async (batch) => {
      const rows = batch.map((entry) => ({ id: entry.id, tank: entry.tank, line: lineOf(entry) }));
      await client.query({ name: 'insert', text, values: [seq, JSON.stringify(rows)] });
      seq += batch.length;
      return batch.length;
    },
    close: () => client.end(),
  };
}
