import { availableParallelism } from 'node:os';
import { parentPort, Worker } from 'node:worker_threads';
import { type Errand, type Hand, mostHands, openHand, reach } from '@brinewright/evidence';

export interface Crew {
  /** Those whose program runs already. */
  readonly hands: readonly Hand[];
  close(): Promise<void>;
}

/** Threads that help with the reckoning, as many as there are processors beside this one's. */
export function openCrew(program: URL): Crew {
  const hands: Hand[] = [];
  const count = Math.min(mostHands, availableParallelism() - 1);
  const threads = Array.from({ length: count }, () => start(program, hands));
  return {
    hands,
    close: async () => {
      await Promise.all(threads.map((thread) => thread.terminate()));
    },
  };
}

/** Starts a thread, which says first that it is there and then answers. */
function start(program: URL, ready: Hand[]): Worker {
  const thread = new Worker(program);
  const { hand, answered, gone } = reach((errand) => thread.postMessage(errand));
  thread.once('message', () => {
    ready.push(hand);
    thread.on('message', answered);
  });
  return thread.on('error', gone);
}

/** What such a thread does: says that it is there, then answers. */
export function lendHand(): void {
  const work = openHand();
  parentPort?.on('message', (errand: Errand) => parentPort?.postMessage(work(errand)));
  parentPort?.postMessage('here');
}
