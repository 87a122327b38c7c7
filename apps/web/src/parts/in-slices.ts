/** How long to go on before the page may breathe. */
const SLICE_MS = 8;

/** Goes through a long list without holding the page up: after each short slice whatever waits has its turn. */
export async function inSlices<T>(list: readonly T[], work: (one: T) => void): Promise<void> {
  let until = performance.now() + SLICE_MS;
  for (const one of list) {
    work(one);
    if (performance.now() < until) continue;
    await breathe();
    until = performance.now() + SLICE_MS;
  }
}

/** Goes through work that comes in steps, and lets the page breathe after each. */
export async function inSteps<T>(work: Generator<void, T>): Promise<T> {
  for (let step = work.next(); ; step = work.next()) {
    if (step.done) return step.value;
    await breathe();
  }
}

/** Lets whatever waits have its turn: a tap, a frame to draw. */
export function breathe(): Promise<void> {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      resolve();
    };
    port2.postMessage(null);
  });
}
