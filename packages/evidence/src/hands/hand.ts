import type { Problem } from '../problem.ts';
import type { Errand, Found, Work } from './work.ts';

/** Another thread that does work for this one, in the order it is asked. */
export interface Hand {
  /** It has nothing to do and has never failed. */
  readonly idle: boolean;
  /** Rejects where the thread is gone. */
  ask<W extends Work>(problem: Problem, work: W): Promise<Found[W['do']]>;
}

/** A hand and what its thread says: whoever started the thread passes that on. */
export interface Reached {
  readonly hand: Hand;
  /** It answered the oldest errand that was not answered yet. */
  answered(found: unknown): void;
  /** It failed or was ended, and is asked no more. */
  gone(why: Error): void;
}

interface Waiting {
  readonly resolve: (found: Found[keyof Found]) => void;
  readonly reject: (why: Error) => void;
}

/** Reaches a thread that answers errands in their order by `openHand`. `post` sends it one. */
export function reach(post: (errand: Errand) => void): Reached {
  const waiting: Waiting[] = [];
  let last: Problem | undefined;
  let end: Error | undefined;
  return {
    hand: {
      get idle() {
        return waiting.length === 0 && end === undefined;
      },
      async ask<W extends Work>(problem: Problem, work: W) {
        if (end) throw end;
        const found = new Promise<Found[keyof Found]>((resolve, reject) => waiting.push({ resolve, reject }));
        post({ problem: problem === last ? undefined : problem, work });
        last = problem;
        return (await found) as Found[W['do']];
      },
    },
    answered: (found) => waiting.shift()?.resolve(found as Found[keyof Found]),
    gone(why) {
      end = why;
      for (const { reject } of waiting.splice(0)) reject(why);
    },
  };
}
