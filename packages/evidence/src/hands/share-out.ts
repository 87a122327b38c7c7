import type { Progress } from '../infer/posterior.ts';
import type { Hand } from './hand.ts';

/** What a hand is given ahead, so that it need not wait for this thread to look up. */
const ahead = 2;

/** A job done here or by a hand, with the same result. */
export interface Ways<Job, Found, Result> {
  readonly here: (job: Job) => Generator<unknown, Result>;
  /** Asks a hand; changes nothing here. */
  readonly there: (hand: Hand, job: Job) => Promise<Found>;
  /** Takes in what a hand found, where that is still wanted. */
  readonly take: (job: Job, found: Found) => Result;
}

/**
 * Does jobs that do not depend on each other, here from the first on and by hands from the last on; what comes of them is in
 * the order of the jobs, whoever did them. Where nothing is left but to wait, the progress yielded says until what; a driver
 * that goes on sooner has the job that was given out last done here as well, and what comes first counts. Hands that are busy
 * with something else are left alone, and a job whose hand fails is done here. Work is only ever given out while this
 * goes on: once abandoned, hands end what they have and no more.
 */
export function* shareOut<Job, Found, Result>(
  jobs: readonly Job[],
  hands: readonly Hand[],
  { here, there, take }: Ways<Job, Found, Result>,
  progress: (done: number) => Progress,
): Generator<Progress, Result[]> {
  const results = new Map<number, Result>();
  const left = [...jobs.keys()];
  const has = new Map(hands.filter(({ idle }) => idle).map((hand) => [hand, 0]));
  const out = new Map<number, Promise<void>>();

  const give = (hand: Hand, job: number): void => {
    has.set(hand, has.get(hand)! + 1);
    const answer = there(hand, jobs[job]!).then(
      (found) => {
        has.set(hand, has.get(hand)! - 1);
        out.delete(job);
        if (!results.has(job)) results.set(job, take(jobs[job]!, found));
      },
      () => {
        has.delete(hand);
        out.delete(job);
        if (!results.has(job)) left.push(job);
      },
    );
    out.set(job, answer);
  };
  /** The last job left is kept for this thread: it is free sooner than a hand that has something already. */
  const giveOut = (): void => {
    for (let load = 0; load < ahead; load++)
      for (const [hand, own] of has) if (own === load && left.length > 1) give(hand, left.pop()!);
  };
  function* doHere(job: number): Generator<Progress, void> {
    const steps = here(jobs[job]!);
    let step = steps.next();
    for (; !step.done; step = steps.next()) {
      yield progress(results.size);
      if (results.has(job)) return;
      giveOut();
    }
    results.set(job, step.value);
  }

  while (results.size < jobs.length) {
    giveOut();
    const job = left.shift();
    if (job !== undefined) {
      yield* doHere(job);
      continue;
    }
    const known = results.size;
    yield { ...progress(known), until: Promise.race(out.values()) };
    const last = [...out.keys()].findLast((one) => !results.has(one));
    if (results.size === known && left.length === 0 && last !== undefined) yield* doHere(last);
  }
  return jobs.map((_, index) => results.get(index)!);
}
