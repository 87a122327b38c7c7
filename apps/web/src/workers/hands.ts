import { type Hand, mostHands, reach } from '@brinewright/evidence';

let ready: readonly Hand[] | undefined;

/**
 * Threads that help with the reckoning, as many as this device has processors to spare. They start when first asked for;
 * the list holds those whose program has come, so that nobody waits for a network.
 */
export function handsHere(): readonly Hand[] {
  ready ??= startHands();
  return ready;
}

function startHands(): Hand[] {
  const hands: Hand[] = [];
  const spare = (navigator.hardwareConcurrency || 1) - 1;
  for (let i = 0; i < Math.min(mostHands, spare); i++) start(hands);
  return hands;
}

/** Where there are but two processors, the page needs the other while it draws what was written. */
export function handsWhileDrawing(): readonly Hand[] {
  const hands = handsHere();
  return navigator.hardwareConcurrency > 2 ? hands : [];
}

/** Starts a worker, which says first that it is there and then answers. */
function start(ready: Hand[]): void {
  const worker = new Worker(new URL('./hand.worker.ts', import.meta.url), { type: 'module' });
  const { hand, answered, gone } = reach((errand) => worker.postMessage(errand));
  const there = () => {
    ready.push(hand);
    worker.addEventListener('message', ({ data }) => answered(data));
  };
  worker.addEventListener('message', there, { once: true });
  worker.addEventListener('error', ({ message }) => {
    worker.terminate();
    gone(new Error(message));
  });
}
