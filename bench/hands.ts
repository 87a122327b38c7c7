/** Hands of the bench: worker threads that do parts of a fit. */
import { Worker } from 'node:worker_threads';
import {
  fit as fitting,
  type Hand,
  type Posterior,
  type Problem,
  type Progress,
  reach,
  update,
  waitedFor,
} from '@brinewright/evidence';
import { withoutLastDay } from './fits.ts';

const handThread = new URL('./hand-thread.ts', import.meta.url).href;
/** A thread takes over no loader from the one that starts it. */
const startInTypeScript = `import('tsx/esm/api').then(({ register }) => {
  register();
  return import(require('node:worker_threads').workerData);
})`;

interface Crew {
  readonly hands: readonly Hand[];
  close(): Promise<void>;
}

export function openCrew(count: number): Crew {
  const threads = Array.from(
    { length: count },
    () => new Worker(startInTypeScript, { eval: true, workerData: handThread }),
  );
  return {
    hands: threads.map(handOf),
    close: async () => {
      await Promise.all(threads.map((thread) => thread.terminate()));
    },
  };
}

function handOf(thread: Worker): Hand {
  const { hand, answered } = reach((errand) => thread.postMessage(errand));
  thread.on('message', answered);
  return hand;
}

/** Least time on the clock of a cold fit and of an update by its last test day, each done several times, ms. */
export async function fitAndUpdate(problem: Problem, hands: readonly Hand[], times: number) {
  const earlier = withoutLastDay(problem);
  let [fitMs, updateMs] = [Infinity, Infinity];
  for (let i = 0; i < times; i++) {
    const before = await waitedFor(fitting(earlier, {}, hands));
    updateMs = Math.min(updateMs, await clockOf(update(before, problem, hands)));
    fitMs = Math.min(fitMs, await clockOf(fitting(problem, {}, hands)));
  }
  return { fitMs, updateMs };
}

async function clockOf(steps: Generator<Progress, Posterior>): Promise<number> {
  const began = performance.now();
  await waitedFor(steps);
  return performance.now() - began;
}
