import { availableParallelism } from 'node:os';
import { parentPort, Worker } from 'node:worker_threads';
import { type Errand, type Hand, handBy, openHand } from '@brinewright/evidence';

/** Particles are moved in four parts, one of them by the thread that asks. */
const mostHands = 3;

export interface Crew {
  /** Those whose program runs already. */
  readonly hands: readonly Hand[];
  close(): Promise<void>;
}

/** Threads that help with the reckoning, as many as there are processors beside this one's. */
export function openCrew(program: URL): Crew {
  const hands: Hand[] = [];
  const count = Math.min(mostHands, availableParallelism() - 1);
  const threads = Array.from({ length: count }, () => new Worker(program));
  for (const thread of threads) thread.once('message', () => hands.push(handOf(thread)));
  return {
    hands,
    close: async () => {
      await Promise.all(threads.map((thread) => thread.terminate()));
    },
  };
}

/** A thread answers errands in their order. */
function handOf(thread: Worker): Hand {
  const waiting: { readonly resolve: (found: unknown) => void; readonly reject: (why: Error) => void }[] = [];
  thread.on('message', (found) => waiting.shift()?.resolve(found));
  thread.on('error', (why) => {
    for (const { reject } of waiting.splice(0)) reject(why);
  });
  return handBy(
    (errand) =>
      new Promise((resolve, reject) => {
        waiting.push({ resolve, reject });
        thread.postMessage(errand);
      }),
  );
}

/** What such a thread does: says that it is there, then answers. */
export function lendHand(): void {
  const work = openHand();
  parentPort?.on('message', (errand: Errand) => parentPort?.postMessage(work(errand)));
  parentPort?.postMessage('here');
}
