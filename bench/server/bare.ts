/**
 * What a push is measured against: the same rows put into the same table with its keys, as many in a transaction, each
 * forced to the disk, with as many in flight: no HTTP, no JSON read, nothing checked, no place looked up. Twice: as a
 * program inserts that thinks of nothing further, and as dense as we know how, which is how the store does it too.
 * SQLite has one writer, whose calls block: there it is one connection.
 */
import { join } from 'node:path';
import { type Entry, lineOf, type TankId } from '@brinewright/journal';
import Libsql from 'libsql';
import pg from 'pg';
import { textArray } from '../../packages/store/src/postgres/arrays.ts';

/** Puts in a batch of one tank; tells how many. */
type Insert = (batch: readonly Entry[]) => Promise<number>;

export interface Bare {
  /** How many connections write for so many clients. */
  readonly connections: (clients: number) => number;
  /** SQLite: a prepared statement for each row. PostgreSQL: a prepared statement with a list of all values. */
  readonly plain: Insert;
  /** All rows in one value: SQLite JSON, PostgreSQL arrays in binary form. */
  readonly dense: Insert;
  close(): Promise<void>;
}

const TABLE = `
  create table entry (
    tank text not null, place bigint not null, id text not null, line text not null,
    primary key (tank, place), unique (tank, id))`;
const INTO = 'insert into entry (tank, place, id, line)';

export function bareSqlite(folder: string): Bare {
  const db = new Libsql(join(folder, 'bare.sqlite'));
  db.pragma('journal_mode = WAL');
  db.pragma('synchronous = FULL');
  db.exec(`${TABLE} without rowid`);
  const row = db.prepare(`${INTO} values (?1, ?2, ?3, ?4)`);
  const all = db.prepare(`${INTO} select ?1, ?2 + key, value->>0, value->>1 from json_each(?3)`);
  const placed = placeCounter();
  const rowByRow = db.transaction((batch: readonly Entry[]) => {
    const { tank, place } = placed(batch);
    for (const [n, entry] of batch.entries()) row.run(tank, place + n, entry.id, lineOf(entry));
  });
  return {
    connections: () => 1,
    plain: async (batch) => {
      rowByRow.immediate(batch);
      return batch.length;
    },
    dense: async (batch) => {
      const { tank, place } = placed(batch);
      all.run(tank, place, JSON.stringify(batch.map((entry) => [entry.id, lineOf(entry)])));
      return batch.length;
    },
    close: async () => void db.close(),
  };
}

/** @param most connections at once */
export async function barePostgres(url: string, most: number): Promise<Bare> {
  const pool = new pg.Pool({ connectionString: url, max: most });
  // Whoever stops the database breaks connections that rest.
  pool.on('error', () => undefined);
  await pool.query(TABLE);
  const placed = placeCounter();
  return {
    connections: (clients) => clients,
    plain: async (batch) => {
      const { tank, place } = placed(batch);
      const values = batch.flatMap((entry, n) => [tank, place + n, entry.id, lineOf(entry)]);
      const name = `plain ${batch.length}`;
      await pool.query({ name, text: `${INTO} values ${placeholders(batch.length)}`, values });
      return batch.length;
    },
    dense: async (batch) => {
      const { tank, place } = placed(batch);
      const text = `${INTO} select $1, $2 + nth - 1, id, line
        from unnest($3::text[], $4::text[]) with ordinality as given (id, line, nth)`;
      const ids = textArray(batch.map(({ id }) => id));
      await pool.query({ name: 'dense', text, values: [tank, place, ids, textArray(batch.map(lineOf))] });
      return batch.length;
    },
    close: () => pool.end(),
  };
}

/** "($1,$2,$3,$4),($5,…", made once for each length. */
const placeholders = remembered((rows: number) =>
  Array.from({ length: rows }, (_, n) => `($${4 * n + 1},$${4 * n + 2},$${4 * n + 3},$${4 * n + 4})`).join(),
);

function remembered<T>(make: (key: number) => T): (key: number) => T {
  const made = new Map<number, T>();
  return (key) => {
    const known = made.get(key) ?? make(key);
    made.set(key, known);
    return known;
  };
}

/** Counts the places of each tank. */
function placeCounter() {
  const newest = new Map<TankId, number>();
  return (batch: readonly Entry[]): { tank: TankId; place: number } => {
    const { tank } = batch[0] as Entry;
    const place = (newest.get(tank) ?? 0) + 1;
    newest.set(tank, place + batch.length - 1);
    return { tank, place };
  };
}
