import { type Appended, type Entry, EntryClash } from '@brinewright/journal';
import type { Outcome } from '../sift.ts';
import { breath } from './breath.ts';

/** Keeps the entries of several callers in one transaction; an outcome for each, in their order. */
export type KeepEach = (callers: readonly (readonly Entry[])[]) => Promise<readonly Outcome[]>;

interface Waiting {
  readonly entries: readonly Entry[];
  readonly resolve: (appended: Appended) => void;
  readonly reject: (error: unknown) => void;
}

/** Entries in one transaction, beyond the first caller's: more would make the others wait for it. */
const MOST = 5000;

/**
 * Appends of several callers made together: what comes while one transaction is under way shares the next, and with
 * it the one write that is forced to the disk. Each caller has its own outcome.
 */
export function together(keepEach: KeepEach) {
  const line: Waiting[] = [];
  let work: Promise<void> | undefined;

  const run = async (): Promise<void> => {
    while (line.length > 0) {
      // Whoever has arrived already comes forward meanwhile, and shares the transaction.
      await breath();
      const callers = nextOf(line);
      try {
        const outcomes = await keepEach(callers.map(({ entries }) => entries));
        for (const [n, outcome] of outcomes.entries()) settle(callers[n] as Waiting, outcome);
      } catch (error) {
        for (const { reject } of callers) reject(error);
      }
    }
    work = undefined;
  };

  return {
    append: (entries: readonly Entry[]): Promise<Appended> =>
      new Promise((resolve, reject) => {
        line.push({ entries, resolve, reject });
        work ??= run();
      }),
    /** Resolves once nothing is under way. */
    idle: async (): Promise<void> => work,
  };
}

function nextOf(line: Waiting[]): Waiting[] {
  let entries = 0;
  const after = line.findIndex((one, n) => {
    entries += one.entries.length;
    return n > 0 && entries > MOST;
  });
  return line.splice(0, after < 0 ? line.length : after);
}

function settle({ resolve, reject }: Waiting, outcome: Outcome): void {
  if (outcome instanceof EntryClash) reject(outcome);
  else resolve(outcome);
}
