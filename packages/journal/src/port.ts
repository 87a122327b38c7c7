import type { Entry, EntryId, TankId } from './entry/kinds.ts';

/** A place in the order of arrival at one store, a whole number that rises; it means nothing to another store. */
export type Cursor = number & { readonly cursor: unique symbol };

/** Before the first entry. */
export const START = 0 as Cursor;

/** What became of the entries handed over. */
export interface Appended {
  readonly added: readonly EntryId[];
  /** Already there with the same content, and so left alone. */
  readonly known: readonly EntryId[];
}

export interface ReadQuery {
  readonly tank?: TankId;
  /** Only what arrived after this; `START` by default. */
  readonly since?: Cursor;
  /** At most this many, 1000 by default. */
  readonly limit?: number;
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
 * Where a journal is kept: append only, in order of arrival. All backends keep the same promises, checked by one
 * suite. Every method rejects when the store is closed or the disk fails.
 */
export interface JournalStore {
  /**
   * Keeps entries, all of them or none. Resolves only when they would survive the device losing power; so long as it
   * has not resolved nothing is promised. Idempotent by id.
   * @throws EntryClash where an id is known, or comes twice here, with different content
   */
  append(entries: readonly Entry[]): Promise<Appended>;
  /** One page; entries being appended meanwhile are either wholly there or come after the cursor. */
  read(query?: ReadQuery): Promise<Page>;
  /** Ids of the tanks that have an entry, sorted. */
  tanks(): Promise<readonly TankId[]>;
  /** The newest entry of every tank. */
  heads(): Promise<ReadonlyMap<TankId, Head>>;
  /** Those of the ids that no entry is kept under, in the order given. */
  lacking(ids: readonly EntryId[]): Promise<readonly EntryId[]>;
  count(): Promise<number>;
  /** Ends what is under way and lets go of the file or connection. */
  close(): Promise<void>;
}

/** Two different entries under one id: entries never change, so neither may replace the other. */
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

/** Everything a query finds, page by page. */
export async function* readAll(
  store: JournalStore,
  query: Omit<ReadQuery, 'limit'> = {},
): AsyncGenerator<Entry> {
  let since = query.since ?? START;
  for (let more = true; more; ) {
    const page = await store.read({ ...query, since });
    yield* page.entries;
    since = page.cursor;
    more = page.more;
  }
}
