import {
  type Entry,
  type EntryId,
  type JournalStore,
  lineOf,
  type Page,
  type ReadQuery,
  type TankId,
} from '@brinewright/journal';
import Database from 'libsql';
import { type HeadRow, headsOf, pageOf, type Row, settled } from '../page.ts';
import { keyOf } from '../sift.ts';
import { breath } from '../sql/breath.ts';
import { type EntryTable, inOrderOfTanks, keepEach } from '../sql/keep.ts';
import { type Applied, bookkeeping, noteMigration, pending } from '../sql/migrate.ts';
import { allTanks, newestOfTanks } from '../sql/queries.ts';
import { together } from '../sql/together.ts';
import { linesUnder, pageOfTank, putBehind } from './statements.ts';

export { LayoutError } from '../sql/migrate.ts';

/** How long one process waits for another that is writing, ms. */
const PATIENCE = 10_000;

/** Does work when it is its turn among the connections of this process. */
export type InTurn = <T>(work: () => Promise<T>) => Promise<T>;

/**
 * A journal in one SQLite file. Several processes may have it open; writing is serialised by the file's own lock.
 * What `append` has confirmed was forced to the disk (write-ahead log, full synchronisation).
 * @param path of the file; it is made where it is not there, its folder is not
 * @param inTurn where other connections of this process write too. The file has one lock, and waiting for it lets
 *   nothing else run: so they have to take turns before they ask for it
 * @throws LayoutError where the file was written by a newer version of the program
 * @throws Error where the file cannot be opened or is no database
 */
export function sqliteStore(path: string, inTurn: InTurn = (work) => work()): JournalStore {
  const db = opened(path);
  try {
    db.pragma('journal_mode = WAL');
    db.pragma('synchronous = FULL');
    migrate(db);
  } catch (error) {
    db.close();
    throw error;
  }
  return storeOn(db, inTurn);
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

function storeOn(db: Database.Database, inTurn: InTurn): JournalStore {
  const kept = db.prepare(linesUnder);
  const insert = db.prepare(putBehind);
  const after = db.prepare(pageOfTank);
  let open = true;

  const linesOf = (entries: readonly Pick<Entry, 'tank' | 'id'>[]): ReadonlyMap<string, string> => {
    const rows = kept.all(JSON.stringify(entries.map(({ tank, id }) => [tank, id])));
    return new Map((rows as readonly KeptLine[]).map((row) => [keyOf(row), row.line]));
  };

  const putIn = (entries: readonly Entry[]): boolean => {
    const given = inOrderOfTanks(entries).map(([tank, own]) => [
      tank,
      own.map((entry) => [entry.id, lineOf(entry)]),
    ]);
    try {
      insert.run(JSON.stringify(given));
      return true;
    } catch (error) {
      // The engine has taken back what the statement did.
      if (isTaken(error)) return false;
      throw error;
    }
  };

  /** The driver must not be touched once closed. */
  const ifOpen = <T>(work: () => T): T => {
    if (!open) throw new Error('the store is closed');
    return work();
  };

  const table: EntryTable = {
    putIn: async (entries) => ifOpen(() => putIn(entries)),
    linesOf: async (entries) => ifOpen(() => linesOf(entries)),
  };
  const { append, idle } = together((callers) => inTurn(() => keepEach(table, callers)));

  return {
    append: async (entries) => ifOpen(() => append(entries)),
    read: async (query: ReadQuery): Promise<Page> => {
      // The engine answers at once: without this, reading page after page would leave no time for anything else.
      await breath();
      return ifOpen(() => {
        const { since, limit } = settled(query);
        const rows = after.all(query.tank, since, limit + 1);
        return pageOf(rows as readonly Row[], limit, since);
      });
    },
    tanks: async () =>
      ifOpen(() => {
        const rows = db.prepare(`${allTanks} order by tank`).all();
        return (rows as readonly { tank: TankId }[]).map(({ tank }) => tank);
      }),
    heads: async () =>
      ifOpen(() => {
        const rows = db.prepare(newestOfTanks).all();
        return headsOf(rows as readonly HeadRow[]);
      }),
    lacking: async (tank, ids) =>
      ifOpen(() => {
        const lines = linesOf(ids.map((id) => ({ tank, id })));
        return ids.filter((id) => !lines.has(keyOf({ tank, id })));
      }),
    count: async () =>
      ifOpen(() => (db.prepare('select count(*) as count from entry').get() as { count: number }).count),
    close: async () => {
      await idle();
      if (open) db.close();
      open = false;
    },
  };
}

interface KeptLine {
  readonly tank: TankId;
  readonly id: EntryId;
  readonly line: string;
}

/** Whether an insert failed because a row of that key is there. */
const isTaken = (error: unknown): boolean =>
  error instanceof Error && 'code' in error && String(error.code).startsWith('SQLITE_CONSTRAINT');

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
