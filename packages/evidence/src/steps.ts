import type { Progress } from './infer/posterior.ts';

/** Runs work that comes in steps to its end, at once. */
export function ended<T>(steps: Generator<unknown, T>): T {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
  }
}

/** As `ended`, waiting where the work waits for hands. */
export async function waitedFor<T>(steps: Generator<Progress, T>): Promise<T> {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
    await step.value.until;
  }
}
