import { type Appended, type Entry, EntryClash, type TankId } from '@brinewright/journal';
import type { Outcome } from '../sift.ts';
import { breath } from './breath.ts';

/** Keeps the entries of several callers in one transaction; an outcome for each, in their order. */
export type KeepEach = (callers: readonly (readonly Entry[])[]) => Promise<readonly Outcome[]>;

interface Waiting {
  readonly entries: readonly Entry[];
  readonly tanks: ReadonlySet<TankId>;
  readonly resolve: (appended: Appended) => void;
  readonly reject: (error: unknown) => void;
}

/**
 * Entries in one transaction, beyond the first caller's: with so many, what sharing spares is little, and they are put in
 * sooner side by side.
 */
const MOST = 250;

/**
 * Appends of several callers made together: what comes while all transactions are under way shares the next, as far as it
 * is small, and with it the one write that is forced to the disk. Each caller has its own outcome. Those of one tank come one after another.
 * @param lanes so many transactions at once
 */
export function together(keepEach: KeepEach, lanes = 1) {
  const line: Waiting[] = [];
  const busy = new Set<TankId>();
  const work: (Promise<void> | undefined)[] = Array(lanes).fill(undefined);

  const run = async (lane: number): Promise<void> => {
    for (;;) {
      // Whoever has arrived already comes forward meanwhile, and shares the transaction.
      await breath();
      const callers = nextOf(line, busy);
      if (callers.length === 0) break;
      const tanks = callers.flatMap((caller) => [...caller.tanks]);
      for (const tank of tanks) busy.add(tank);
      try {
        const outcomes = await keepEach(callers.map(({ entries }) => entries));
        for (const [n, outcome] of outcomes.entries()) settle(callers[n] as Waiting, outcome);
      } catch (error) {
        for (const { reject } of callers) reject(error);
      }
      for (const tank of tanks) busy.delete(tank);
    }
    work[lane] = undefined;
  };

  return {
    append: (entries: readonly Entry[]): Promise<Appended> =>
      new Promise((resolve, reject) => {
        line.push({ entries, tanks: new Set(entries.map(({ tank }) => tank)), resolve, reject });
        const free = work.indexOf(undefined);
        if (free >= 0) work[free] = run(free);
      }),
    /** Resolves once nothing is under way. */
    idle: async (): Promise<void> => void (await Promise.all(work)),
  };
}

/** Takes out of the line who may go now. Whoever shares a tank with what is under way, or with one left waiting, waits. */
function nextOf(line: Waiting[], busy: ReadonlySet<TankId>): readonly Waiting[] {
  const shut = new Set(busy);
  const next: Waiting[] = [];
  let entries = 0;
  for (const one of line.splice(0)) {
    entries += one.entries.length;
    const fits = next.length === 0 || entries <= MOST;
    if (fits && ![...one.tanks].some((tank) => shut.has(tank))) next.push(one);
    else {
      line.push(one);
      for (const tank of one.tanks) shut.add(tank);
    }
  }
  return next;
}

function settle({ resolve, reject }: Waiting, outcome: Outcome): void {
  if (outcome instanceof EntryClash) reject(outcome);
  else resolve(outcome);
}
