import type { Entry, EntryId, TankId } from '../entry/kinds.ts';
import { type Cursor, EntryClash, type Head, type JournalStore, type Page, START } from '../port.ts';

/** What was made of pushed entries; those named nowhere are kept. */
export interface Pushed {
  /** Kept there already with different content. */
  readonly clashes: readonly EntryId[];
  /** Not accepted from this device: it may only read that tank, say. They are offered again next time. */
  readonly refused: readonly EntryId[];
}

/**
 * The other side of a synchronisation: a server, or another device. Any call may fail, before or after it took
 * effect, and may be made again.
 */
export interface Peer {
  /** The newest entry of every tank this device may see. */
  heads(): Promise<ReadonlyMap<TankId, Head>>;
  /**
   * Entries of one tank that arrived there after a place; `undefined` where the place is not one of its own (it was
   * restored from a copy, or is another peer than before), so that the asker starts over.
   */
  pull(tank: TankId, after: Head | undefined): Promise<Page | undefined>;
  /** Those of the ids it has no entry under. */
  lacking(tank: TankId, ids: readonly EntryId[]): Promise<readonly EntryId[]>;
  push(tank: TankId, entries: readonly Entry[]): Promise<Pushed>;
}

/** Entries in one answer: some 60 kB. */
const PAGE = 250;

/** A store as a peer: what a server answers from, within what it lets the asker see and write. */
export function storePeer(store: JournalStore): Peer {
  return {
    heads: () => store.heads(),
    pull: async (tank, after) => {
      if (after !== undefined && !(await isPlaceOf(store, tank, after))) return undefined;
      return store.read({ tank, since: after?.cursor ?? START, limit: PAGE });
    },
    lacking: (tank, ids) => store.lacking(tank, ids),
    push: async (tank, entries) => {
      const refused = entries.filter((entry) => entry.tank !== tank).map(({ id }) => id);
      const clashes = await appendSound(
        store,
        entries.filter((entry) => entry.tank === tank),
      );
      return { clashes, refused };
    },
  };
}

async function isPlaceOf(store: JournalStore, tank: TankId, { cursor, last }: Head): Promise<boolean> {
  const { entries } = await store.read({ tank, since: (cursor - 1) as Cursor, limit: 1 });
  return entries[0]?.id === last;
}

/** Appends what does not clash; the ids that do are returned. */
export async function appendSound(
  store: JournalStore,
  entries: readonly Entry[],
): Promise<readonly EntryId[]> {
  try {
    await store.append(entries);
    return [];
  } catch (error) {
    if (!(error instanceof EntryClash)) throw error;
    const clashing = new Set(error.ids);
    const sound = entries.filter(({ id }) => !clashing.has(id));
    return [...error.ids, ...(await appendSound(store, sound))];
  }
}
