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
import Database from 'libsql';
import { type HeadRow, headsOf, pageOf, type Row, settled } from '../page.ts';
import { type Outcome, siftEach } from '../sift.ts';
import { breath } from '../sql/breath.ts';
import { type Applied, bookkeeping, noteMigration, pending } from '../sql/migrate.ts';
import { allTanks, newestOfTanks } from '../sql/queries.ts';
import { together } from '../sql/together.ts';

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
  const kept = db.prepare('select id, line from entry where id in (select value from json_each(?1))');
  const last = db.prepare('select coalesce(max(seq), 0) as seq from entry');
  const insert = db.prepare(
    'insert into entry (seq, id, tank, line) select ?1 + key + 1, value->>0, value->>1, value->>2 from json_each(?2)',
  );
  const after = db.prepare('select seq, line from entry where seq > ?1 order by seq limit ?2');
  const afterInTank = db.prepare(
    'select seq, line from entry where tank = ?3 and seq > ?1 order by seq limit ?2',
  );
  let open = true;

  /** As one JSON text: a call into the driver for each row costs more than the row. */
  const linesOf = (ids: readonly EntryId[]): ReadonlyMap<string, string> => {
    const rows = kept.all(JSON.stringify(ids)) as readonly { id: string; line: string }[];
    return new Map(rows.map(({ id, line }) => [id, line]));
  };

  /** All of the entries, or none where any is there: the engine then takes back what the statement did, and throws. */
  const putIn = (fresh: readonly Entry[]): void => {
    const { seq } = last.get() as { seq: number };
    insert.run(seq, JSON.stringify(fresh.map((entry) => [entry.id, entry.tank, lineOf(entry)])));
  };
  const couldPutIn = (fresh: readonly Entry[]): boolean => {
    try {
      putIn(fresh);
      return true;
    } catch (error) {
      if (isThere(error)) return false;
      throw error;
    }
  };

  const keepEach = db.transaction((callers: readonly (readonly Entry[])[]): readonly Outcome[] => {
    // Nearly always nothing of it is there yet: then looking was not needed.
    const hoped = siftEach(callers, () => undefined);
    const inOrder = !hoped.outcomes.some((outcome) => outcome instanceof EntryClash);
    if (inOrder && couldPutIn(hoped.fresh)) return hoped.outcomes;
    const lines = linesOf(callers.flatMap((entries) => entries.map(({ id }) => id)));
    const { fresh, outcomes } = siftEach(callers, (id) => lines.get(id));
    putIn(fresh);
    return outcomes;
  });

  /** The driver must not be touched once closed. */
  const ifOpen = <T>(work: () => T): T => {
    if (!open) throw new Error('the store is closed');
    return work();
  };

  const { append, idle } = together((callers) =>
    inTurn(async () => ifOpen(() => keepEach.immediate(callers))),
  );

  return {
    append: async (entries) => ifOpen(() => append(entries)),
    read: async (query: ReadQuery = {}): Promise<Page> => {
      // The engine answers at once: without this, reading page after page would leave no time for anything else.
      await breath();
      return ifOpen(() => {
        const { since, limit } = settled(query);
        const rows =
          query.tank === undefined
            ? after.all(since, limit + 1)
            : afterInTank.all(since, limit + 1, query.tank);
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
    lacking: async (ids) =>
      ifOpen(() => {
        const lines = linesOf(ids);
        return ids.filter((id) => !lines.has(id));
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

/** Whether an insert failed because a row of that id is there. */
const isThere = (error: unknown): boolean =>
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
