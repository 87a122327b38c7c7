import {
  type Appended,
  type ArrivalStore,
  type Cursor,
  type Entry,
  type EntryId,
  type Head,
  lineOf,
  type Page,
  type PageQuery,
  type ReadQuery,
  type SyncPlaces,
  type TankId,
} from '@brinewright/journal';
import { type DBSchema, type IDBPDatabase, openDB, unwrap } from 'idb';
import { pageOf, type Row, settled } from '../page.ts';
import { idsOf, keyOf, sift } from '../sift.ts';

const VERSION = 3;

interface KeptRow {
  /** Given by the database: its place in the order of arrival, which is one over all tanks. */
  readonly seq?: number;
  readonly id: EntryId;
  readonly tank: TankId;
  readonly line: string;
}

interface Layout extends DBSchema {
  entries: {
    key: number;
    value: KeptRow;
    indexes: { 'tank-id': [string, string]; 'tank-seq': [string, number] };
  };
  places: { key: string; value: SyncPlaces };
}

/** A device's journal, with what it keeps between synchronisations. */
export interface DeviceStore extends ArrivalStore {
  /** The places last kept for a peer; empty where there are none. */
  places(peer: string): Promise<SyncPlaces>;
  keepPlaces(peer: string, places: SyncPlaces): Promise<void>;
}

/**
 * A journal kept in the browser, under a name. Writing is serialised by the browser across tabs, and resolves only
 * when the browser says the disk has it (strict durability).
 * @throws Error where the name was written by a newer version of the program
 */
export async function indexedDbStore(name = 'brinewright'): Promise<DeviceStore> {
  const db = await opened(name);
  return {
    append: (entries) => append(db, entries),
    read: (query) => read(db, query),
    arrivals: (query = {}) => arrivals(db, query),
    tanks: async () => [...(await heads(db)).keys()],
    heads: () => heads(db),
    lacking: async (tank, ids) => {
      const byId = db.transaction('entries').store.index('tank-id');
      const counts = await Promise.all(ids.map((id) => byId.count([tank, id])));
      return ids.filter((_, i) => counts[i] === 0);
    },
    count: () => db.count('entries'),
    places: async (peer) => (await db.get('places', peer)) ?? new Map(),
    keepPlaces: async (peer, places) => {
      await db.put('places', places, peer);
    },
    close: async () => db.close(),
  };
}

async function opened(name: string): Promise<IDBPDatabase<Layout>> {
  try {
    const db: IDBPDatabase<Layout> = await openDB<Layout>(name, VERSION, {
      upgrade(older, from, _, transaction) {
        if (from < 1) {
          const entries = older.createObjectStore('entries', { keyPath: 'seq', autoIncrement: true });
          entries.createIndex('tank-seq', ['tank', 'seq']);
        }
        if (from < 2) older.createObjectStore('places');
        if (from < 3) {
          const entries = transaction.objectStore('entries');
          // Once ids were looked for over all tanks.
          if (from > 0) unwrap(entries).deleteIndex('id');
          entries.createIndex('tank-id', ['tank', 'id'], { unique: true });
        }
      },
      // A newer version of the program waits in another tab: let go, so that it can go on.
      blocking: () => db.close(),
    });
    return db;
  } catch (error) {
    if (!(error instanceof DOMException) || error.name !== 'VersionError') throw error;
    const message =
      'The journal on this device was written by a newer version of the program. Reload the page to get it.';
    throw new Error(message, { cause: error });
  }
}

async function append(db: IDBPDatabase<Layout>, entries: readonly Entry[]): Promise<Appended> {
  const transaction = db.transaction('entries', 'readwrite', { durability: 'strict' });
  const byId = transaction.store.index('tank-id');
  const kept = await Promise.all(entries.map(({ tank, id }) => byId.get([tank, id])));
  const lines = new Map(kept.flatMap((row) => (row === undefined ? [] : [[keyOf(row), row.line]])));
  // A clash throws here, before anything was written; the transaction then ends by itself.
  const sifted = sift(entries, (key) => lines.get(key));
  const adding = Array.from(sifted.fresh.values(), (entry) => transaction.store.add(rowOf(entry)));
  await Promise.all([...adding, transaction.done]);
  return { added: idsOf(sifted), known: sifted.known };
}

const rowOf = (entry: Entry): KeptRow => ({ id: entry.id, tank: entry.tank, line: lineOf(entry) });

async function read(db: IDBPDatabase<Layout>, query: ReadQuery): Promise<Page> {
  const { since, limit } = settled(query);
  const rows = await db.getAllFromIndex('entries', 'tank-seq', afterIn(query.tank, since), limit + 1);
  return pageOf(rows.map(placed), limit, since);
}

async function arrivals(db: IDBPDatabase<Layout>, query: PageQuery): Promise<Page> {
  const { since, limit } = settled(query);
  const rows = await db.getAll('entries', IDBKeyRange.lowerBound(since, true), limit + 1);
  return pageOf(rows.map(placed), limit, since);
}

/** The database has given every row it holds its place. */
const placed = ({ seq, line }: KeptRow): Row => ({ place: seq as number, line });

const afterIn = (tank: TankId, since: number): IDBKeyRange =>
  IDBKeyRange.bound([tank, since], [tank, Number.POSITIVE_INFINITY], true);

/** Steps from tank to tank, not from entry to entry: backwards, where the newest of a tank comes first. */
async function heads(db: IDBPDatabase<Layout>): Promise<ReadonlyMap<TankId, Head>> {
  const found: [TankId, Head][] = [];
  let cursor = await db.transaction('entries').store.index('tank-seq').openCursor(null, 'prev');
  while (cursor !== null) {
    const { tank, id } = cursor.value;
    found.push([tank, { cursor: cursor.primaryKey as Cursor, last: id }]);
    cursor = await cursor.continue([tank, Number.NEGATIVE_INFINITY]);
  }
  return new Map(found.reverse());
}
