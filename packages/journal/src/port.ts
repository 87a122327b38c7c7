import type { Entry, EntryId, TankId } from './entry/kinds.ts';

/**
 * A place in the order in which one tank's entries arrived at one store: a whole number that rises, with gaps or
 * without. It means nothing to another store, nor for another tank.
 */
export type Cursor = number & { readonly cursor: unique symbol };

/** Before the first entry. */
export const START = 0 as Cursor;

/** What became of the entries handed over. */
export interface Appended {
  readonly added: readonly EntryId[];
  /** Already there with the same content, and so left alone. */
  readonly known: readonly EntryId[];
}

export interface PageQuery {
  /** Only what arrived after this; `START` by default. */
  readonly since?: Cursor;
  /** At most this many, 1000 by default. */
  readonly limit?: number;
}

export interface ReadQuery extends PageQuery {
  readonly tank: TankId;
}

export interface Page {
  /** In order of arrival. */
  readonly entries: readonly Entry[];
  /** Where to go on. */
  readonly cursor: Cursor;
  /** Whether more had arrived after these when they were read. */
  readonly more: boolean;
}

/** The newest entry of a tank, and its place. */
export interface Head {
  readonly cursor: Cursor;
  readonly last: EntryId;
}

/**
 * Where a journal is kept: append only, each tank by itself in order of arrival. All backends keep the same promises,
 * checked by one suite. Every method rejects when the store is closed or the disk fails.
 */
export interface JournalStore {
  /**
   * Keeps entries, all of them or none. Resolves only when they would survive the device losing power; so long as it
   * has not resolved nothing is promised. Idempotent by tank and id.
   * @throws EntryClash where an id is known in its tank, or comes twice here, with different content
   */
  append(entries: readonly Entry[]): Promise<Appended>;
  /** One page of one tank; entries being appended meanwhile are either wholly there or come after the cursor. */
  read(query: ReadQuery): Promise<Page>;
  /** Ids of the tanks that have an entry, sorted. */
  tanks(): Promise<readonly TankId[]>;
  /** The newest entry of every tank. */
  heads(): Promise<ReadonlyMap<TankId, Head>>;
  /** Those of the ids that no entry of the tank is kept under, in the order given. */
  lacking(tank: TankId, ids: readonly EntryId[]): Promise<readonly EntryId[]>;
  count(): Promise<number>;
  /** Ends what is under way and lets go of the file or connection. */
  close(): Promise<void>;
}

/** A store with one order of arrival over all tanks as well, for a program that follows whatever is written. */
export interface ArrivalStore extends JournalStore {
  /** One page of all tanks; its cursor is a place in that order. */
  arrivals(query?: PageQuery): Promise<Page>;
}

/** Two different entries of a tank under one id: entries never change, so neither may replace the other. */
export class EntryClash extends Error {
  readonly ids: readonly EntryId[];

  constructor(ids: readonly EntryId[]) {
    super(
      `Already kept with different content: ${ids.join(', ')}. Nothing was added. ` +
        'Entries never change: write a correction as an amend entry with an id of its own.',
    );
    this.name = 'EntryClash';
    this.ids = ids;
  }
}

/** Everything that is kept of a tank, page by page; without one, of all tanks, one after another. */
export async function* readAll(store: JournalStore, tank?: TankId): AsyncGenerator<Entry> {
  for (const one of tank === undefined ? await store.tanks() : [tank]) {
    let since = START;
    for (let more = true; more; ) {
      const page = await store.read({ tank: one, since });
      yield* page.entries;
      since = page.cursor;
      more = page.more;
    }
  }
}
