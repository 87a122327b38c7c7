import { type Entry, EntryClash, type EntryId, type JournalStore } from '@brinewright/journal';

/** As many entries as are written in one go: more would hold up whoever else writes. */
const PART = 250;

/** What came of entries from elsewhere. */
export interface TakenIn {
  readonly added: number;
  /** Ids under which the journal here says something else: entries never change, so those were left out. */
  readonly clashes: readonly EntryId[];
}

/** Merges entries from elsewhere into a store, a part after the other; what was kept before an error stays kept. */
export async function appendInParts(store: JournalStore, made: readonly Entry[]): Promise<TakenIn> {
  let added = 0;
  const clashes: EntryId[] = [];
  for (let from = 0; from < made.length; from += PART) {
    const part = await appendFitting(store, made.slice(from, from + PART));
    added += part.added;
    clashes.push(...part.clashes);
  }
  return { added, clashes };
}

async function appendFitting(store: JournalStore, part: readonly Entry[]): Promise<TakenIn> {
  try {
    return { added: (await store.append(part)).added.length, clashes: [] };
  } catch (error) {
    if (!(error instanceof EntryClash)) throw error;
    const here = new Set(error.ids);
    const { added } = await store.append(part.filter(({ id }) => !here.has(id)));
    return { added: added.length, clashes: error.ids };
  }
}
