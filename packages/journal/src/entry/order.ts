import { instantMs } from './instant.ts';
import type { Entry, TankId } from './kinds.ts';

/** An entry with its instants read once, as epoch milliseconds. */
export interface Dated {
  readonly entry: Entry;
  readonly at: number;
  /** When it was written down; `at` where the entry does not say. */
  readonly recorded: number;
}

/** Entries never change, so their instants are read once. */
const read = new WeakMap<Entry, Dated>();

/** @throws RangeError for an entry that was never checked and whose instants cannot be read. */
export function dated(entry: Entry): Dated {
  const known = read.get(entry);
  if (known !== undefined) return known;
  const at = readInstant(entry, entry.at);
  const recorded = entry.recorded === undefined ? at : readInstant(entry, entry.recorded);
  const fresh: Dated = { entry, at, recorded };
  read.set(entry, fresh);
  return fresh;
}

function readInstant(entry: Entry, text: string): number {
  const ms = instantMs(text);
  if (ms === undefined) throw new RangeError(`entry ${entry.id}: "${text}" is not an RFC 3339 instant`);
  return ms;
}

/** The order of what happened: (at, recorded, id). It drives the science. */
export const byHappening = (a: Dated, b: Dated): number =>
  a.at - b.at || a.recorded - b.recorded || compareText(a.entry.id, b.entry.id);

/** The order of writing: (recorded, id). It decides which of two statements overwrites the other. */
export const byWriting = (a: Dated, b: Dated): number =>
  a.recorded - b.recorded || compareText(a.entry.id, b.entry.id);

const compareText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** Entries by their tank, in the order given. */
export function groupedByTank(entries: Iterable<Entry>): ReadonlyMap<TankId, readonly Entry[]> {
  const groups = new Map<TankId, Entry[]>();
  for (const entry of entries) {
    const group = groups.get(entry.tank);
    if (group === undefined) groups.set(entry.tank, [entry]);
    else group.push(entry);
  }
  return groups;
}
