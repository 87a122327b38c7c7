import {
  type Appended,
  type Entry,
  type JournalStore,
  lineOf,
  type Page,
  type ReadQuery,
  type TankId,
} from '@brinewright/journal';
import Database from 'libsql';
import { type HeadRow, headsOf, pageOf, type Row, settled } from '../page.ts';
import { sift } from '../sift.ts';
import { type Applied, bookkeeping, noteMigration, pending } from '../sql/migrate.ts';
import { newestOfTanks } from '../sql/queries.ts';

export { LayoutError } from '../sql/migrate.ts';

/** How long one process waits for another that is writing, ms. */
const PATIENCE = 10_000;

/**
 * A journal in one SQLite file. Several processes may have it open; writing is serialised by the file's own lock.
 * What `append` has confirmed was forced to the disk (write-ahead log, full synchronisation).
 * @param path of the file; it is made where it is not there, its folder is not
 * @throws LayoutError where the file was written by a newer version of the program
 * @throws Error where the file cannot be opened or is no database
 */
export function sqliteStore(path: string): JournalStore {
  const db = opened(path);
  try {
    db.pragma('journal_mode = WAL');
    db.pragma('synchronous = FULL');
    migrate(db);
  } catch (error) {
    db.close();
    throw error;
  }
  return storeOn(db);
}

function opened(path: string): Database.Database {
  try {
    return new Database(path, { timeout: PATIENCE });
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    throw new Error(
      `The journal ${path} cannot be opened (${why}). Is its folder there, and yours to write to?`,
      {
        cause: error,
      },
    );
  }
}

function storeOn(db: Database.Database): JournalStore {
  const lineOfId = db.prepare('select line from entry where id = ?1');
  const last = db.prepare('select coalesce(max(seq), 0) as seq from entry');
  const insert = db.prepare('insert into entry (seq, id, tank, line) values (?1, ?2, ?3, ?4)');
  const after = db.prepare('select seq, line from entry where seq > ?1 order by seq limit ?2');
  const afterInTank = db.prepare(
    'select seq, line from entry where tank = ?3 and seq > ?1 order by seq limit ?2',
  );
  let open = true;

  const append = db.transaction((entries: readonly Entry[]): Appended => {
    const { fresh, known } = sift(entries, (id) => (lineOfId.get(id) as { line: string } | undefined)?.line);
    let { seq } = last.get() as { seq: number };
    for (const entry of fresh) insert.run(++seq, entry.id, entry.tank, lineOf(entry));
    return { added: fresh.map(({ id }) => id), known };
  });

  /** The driver must not be touched once closed. */
  const ifOpen = <T>(work: () => T): T => {
    if (!open) throw new Error('the store is closed');
    return work();
  };

  return {
    append: async (entries) => ifOpen(() => append.immediate(entries)),
    read: async (query: ReadQuery = {}): Promise<Page> =>
      ifOpen(() => {
        const { since, limit } = settled(query);
        const rows =
          query.tank === undefined
            ? after.all(since, limit + 1)
            : afterInTank.all(since, limit + 1, query.tank);
        return pageOf(rows as readonly Row[], limit, since);
      }),
    tanks: async () =>
      ifOpen(() => {
        const rows = db.prepare('select distinct tank from entry order by tank').all();
        return (rows as readonly { tank: TankId }[]).map(({ tank }) => tank);
      }),
    heads: async () =>
      ifOpen(() => {
        const rows = db.prepare(newestOfTanks).all();
        return headsOf(rows as readonly HeadRow[]);
      }),
    lacking: async (ids) => ifOpen(() => ids.filter((id) => lineOfId.get(id) === undefined)),
    count: async () =>
      ifOpen(() => (db.prepare('select count(*) as count from entry').get() as { count: number }).count),
    close: async () => {
      if (open) db.close();
      open = false;
    },
  };
}

/** All that is pending in one transaction, under the file's write lock: two programs starting at once take turns. */
function migrate(db: Database.Database): void {
  db.transaction(() => {
    db.exec(bookkeeping);
    const applied = db.prepare('select number, name from journal_migration order by number').all();
    for (const { number, name, sql } of pending('sqlite', applied as readonly Applied[])) {
      db.exec(sql);
      db.prepare(noteMigration.replaceAll('$', '?')).run(number, name);
    }
  }).immediate();
}
