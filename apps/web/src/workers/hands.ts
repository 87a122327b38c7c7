import { type Hand, reach } from '@brinewright/evidence';

/** Hands beside the course worker: particles are moved in four parts, and the page has to be drawn meanwhile. */
const mostHands = 3;

const ready: Hand[] = [];
let started = false;

/**
 * Threads that help with the reckoning, as many as this device has processors to spare. They start when first asked for;
 * the list holds those whose program has come, so that nobody waits for a network.
 */
export function handsHere(): readonly Hand[] {
  const spare = started ? 0 : (navigator.hardwareConcurrency || 1) - 1;
  started = true;
  for (let i = 0; i < Math.min(mostHands, spare); i++) start();
  return ready;
}

/** Where there are but two processors, the page needs the other while it draws what was written. */
export function handsWhileDrawing(): readonly Hand[] {
  const hands = handsHere();
  return navigator.hardwareConcurrency > 2 ? hands : [];
}

/** Starts a worker, which says first that it is there and then answers. */
function start(): void {
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
