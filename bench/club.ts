import { fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { coldFit, journalOf, processorMs } from './fits.ts';
import { randomOf } from './tanks.ts';

/** What refitting a club's tanks took: seconds on the clock, and of processors in all. */
export interface Refitted {
  readonly seconds: number;
  readonly processorSeconds: number;
}

/** Tanks 5 to 60 days old, all three tests every second to fifth day, one reading in five a step off. */
function tankOf(seed: number) {
  const random = randomOf(seed);
  const days = 5 + Math.floor(56 * random.uniform());
  const every = 2 + Math.floor(4 * random.uniform());
  return journalOf(days, every, 40, { offByOne: 0.2, seed });
}

/** Refits tanks from nothing, shared out over processes that are warm. */
export async function refit(tanks: number, workers: number): Promise<Refitted> {
  const processes = Array.from({ length: workers }, () =>
    fork(fileURLToPath(import.meta.url), {
      execArgv: ['--import', 'tsx'],
      env: { ...process.env, CLUB: 'worker' },
    }),
  );
  const answers = (): Promise<number[]> =>
    Promise.all(
      processes.map(
        (worker) => new Promise<number>((resolve) => worker.once('message', (ms) => resolve(ms as number))),
      ),
    );
  await answers();
  const began = performance.now();
  const done = answers();
  for (const [place, worker] of processes.entries())
    worker.send(Array.from({ length: tanks }, (_, seed) => seed).filter((seed) => seed % workers === place));
  const processorMsOfAll = (await done).reduce((sum, ms) => sum + ms, 0);
  const seconds = (performance.now() - began) / 1000;
  for (const worker of processes) worker.kill();
  return { seconds, processorSeconds: processorMsOfAll / 1000 };
}

/** A worker: says when it is warm, then fits the tanks it is told and says what that took. */
if (process.env.CLUB === 'worker') {
  process.once('message', (seeds) => {
    const began = processorMs();
    for (const seed of seeds as number[]) coldFit(tankOf(seed));
    process.send?.(processorMs() - began);
  });
  coldFit(tankOf(0));
  process.send?.(0);
}
