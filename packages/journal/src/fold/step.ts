import type { Entry, TankId } from '../entry/kinds.ts';
import type { TankFacts } from './facts.ts';
import { foldTank } from './fold.ts';

/** A journal being added to, entry by entry. Immutable; facts are reckoned when asked for and kept per tank. */
export interface JournalState {
  readonly tanks: ReadonlyMap<TankId, TankLog>;
}

interface TankLog {
  readonly entries: readonly Entry[];
  readonly facts: () => TankFacts;
}

/** No entries at all. */
export const nothing: JournalState = { tanks: new Map() };

/**
 * The journal with one more entry: equal to folding all of them from scratch. Only the tank the entry belongs to is
 * reckoned again; the facts of every other tank stay the same object. An entry already there changes nothing.
 */
export function step(state: JournalState, entry: Entry): JournalState {
  const before = state.tanks.get(entry.tank);
  if (before?.entries.includes(entry)) return state;
  const log = tankLog(entry.tank, [...(before?.entries ?? []), entry]);
  return { tanks: new Map(state.tanks).set(entry.tank, log) };
}

/** The facts of every tank, as `foldJournal` gives them. */
export function factsOf(state: JournalState): ReadonlyMap<TankId, TankFacts> {
  const tanks = [...state.tanks].sort(([a], [b]) => (a < b ? -1 : 1));
  return new Map(tanks.map(([tank, log]) => [tank, log.facts()]));
}

function tankLog(tank: TankId, entries: readonly Entry[]): TankLog {
  let facts: TankFacts | undefined;
  return {
    entries,
    facts: () => {
      facts ??= foldTank(entries, tank);
      return facts;
    },
  };
}
