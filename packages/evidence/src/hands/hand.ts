import type { Problem } from '../problem.ts';
import type { Errand, Found, Work } from './work.ts';

/** Another thread that does work for this one, in the order it is asked. */
export interface Hand {
  /** It has nothing to do and has never failed. */
  readonly idle: boolean;
  /** Rejects where the thread failed or is gone. */
  ask<W extends Work>(problem: Problem, work: W): Promise<Found[W['do']]>;
}

/** A hand that is reached by a way of sending errands; the thread at the other end answers each by `openHand`. */
export function handBy(send: (errand: Errand) => Promise<unknown>): Hand {
  let busy = 0;
  let failed = false;
  let last: Problem | undefined;
  return {
    get idle() {
      return busy === 0 && !failed;
    },
    async ask<W extends Work>(problem: Problem, work: W) {
      const errand = { problem: problem === last ? undefined : problem, work };
      last = problem;
      busy++;
      try {
        return (await send(errand)) as Found[W['do']];
      } catch (error) {
        failed = true;
        throw error;
      } finally {
        busy--;
      }
    },
  };
}
