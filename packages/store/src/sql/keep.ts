import { type Entry, EntryClash, groupedByTank, type TankId } from '@brinewright/journal';
import { type Outcome, siftEach } from '../sift.ts';

/** The two things a database does when entries are kept. Each is a transaction of its own. */
export interface EntryTable {
  /**
   * Puts the entries in, each tank's behind its newest, and forces them to the disk. All of them or none: tells false
   * where one is there already, or where another writer of one of the tanks was quicker.
   */
  putIn(entries: readonly Entry[]): Promise<boolean>;
  /** The lines kept of those entries that are there, under `keyOf`. */
  linesOf(entries: readonly Entry[]): Promise<ReadonlyMap<string, string>>;
}

/**
 * Keeps the entries of several callers together; an outcome for each, in their order.
 *
 * No lock is held between looking and putting in, nor needed: entries never change and never go, so what was found
 * stays true, and what another writer added meanwhile is under a key that then refuses ours. Whoever is refused looks
 * again, and each time it is because someone else got on.
 */
export async function keepEach(
  table: EntryTable,
  callers: readonly (readonly Entry[])[],
): Promise<readonly Outcome[]> {
  // Nearly always nothing of it is there yet: then looking was not needed.
  const hoped = siftEach(callers, new Map());
  if (!hoped.outcomes.some(isClash) && (await table.putIn(hoped.fresh))) return hoped.outcomes;
  for (;;) {
    const { fresh, outcomes } = siftEach(callers, await table.linesOf(callers.flat()));
    if (await table.putIn(fresh)) return outcomes;
  }
}

const isClash = (outcome: Outcome): boolean => outcome instanceof EntryClash;

/** In the order of their tanks, so that two writers of several tanks meet at the first they share and not in a circle. */
export const inOrderOfTanks = (entries: readonly Entry[]): readonly (readonly [TankId, readonly Entry[]])[] =>
  [...groupedByTank(entries)].sort(([a], [b]) => (a < b ? -1 : 1));
