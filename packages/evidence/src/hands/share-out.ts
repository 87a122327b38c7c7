import type { Progress } from '../infer/posterior.ts';
import type { Hand } from './hand.ts';

/** What a hand is given ahead, so that it need not wait for this thread to look up. */
const ahead = 2;

/**
 * Does jobs that do not depend on each other, here from the first on and by hands from the last on; what comes of them is in
 * the order of the jobs, whoever did them. Where nothing is left but to wait, the progress yielded says until what. Hands
 * that are busy with something else are left alone, and a job whose hand fails is done here. Work is only ever given out
 * while this goes on: once abandoned, hands end what they have and no more.
 */
export function* shareOut<Job, Result>(
  jobs: readonly Job[],
  hands: readonly Hand[],
  here: (job: Job) => Generator<unknown, Result>,
  there: (hand: Hand, job: Job) => Promise<Result>,
  progress: (done: number) => Progress,
): Generator<Progress, Result[]> {
  const results = new Map<number, Result>();
  const left = [...jobs.keys()];
  const has = new Map(hands.filter(({ idle }) => idle).map((hand) => [hand, 0]));
  const pending = new Set<Promise<void>>();

  const give = (hand: Hand, job: number): void => {
    has.set(hand, has.get(hand)! + 1);
    const answer = there(hand, jobs[job]!).then(
      (result) => {
        results.set(job, result);
        has.set(hand, has.get(hand)! - 1);
        pending.delete(answer);
      },
      () => {
        left.push(job);
        has.delete(hand);
        pending.delete(answer);
      },
    );
    pending.add(answer);
  };
  /** The last job left is kept for this thread: it is free sooner than a hand that has something already. */
  const giveOut = (): void => {
    for (let load = 0; load < ahead; load++)
      for (const [hand, own] of has) if (own === load && left.length > 1) give(hand, left.pop()!);
  };

  for (;;) {
    giveOut();
    const job = left.shift();
    if (job !== undefined) {
      const steps = here(jobs[job]!);
      let step = steps.next();
      for (; !step.done; step = steps.next()) {
        yield progress(results.size);
        giveOut();
      }
      results.set(job, step.value);
    } else if (pending.size > 0) yield { ...progress(results.size), until: Promise.race(pending) };
    else return jobs.map((_, index) => results.get(index)!);
  }
}
