/**
 * Judges the advice by its outcome: `npm run regimen -- [tanks] [particles] [seed] [--workers n] [--trace tank]`.
 * Virtual tanks of another biology than the fitted model's, with planted troubles, are started by four rules of thumb
 * and by the orders. What is compared is paired, tank by tank, with 90 % bootstrap intervals. `--trace` follows the
 * orders of one tank, evening by evening, instead.
 */
import { fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { said, summary } from './regimen/summary.ts';
import { trace } from './regimen/trace.ts';
import type { Trial } from './regimen/trial.ts';

/** Runs the trials of some seeds over processes, telling of each as it is done; in the order of the seeds. */
async function runTrials(
  seeds: readonly number[],
  particles: number,
  workers: number,
  tell: (index: number, trial: Trial) => void,
): Promise<Trial[]> {
  const done = new Map<number, Trial>();
  const shares = Array.from({ length: workers }, (_, place) =>
    seeds.filter((_, index) => index % workers === place),
  );
  await Promise.all(
    shares.map((share) =>
      runShare(share, particles, (seed, trial) => {
        done.set(seed, trial);
        tell(seeds.indexOf(seed), trial);
      }),
    ),
  );
  return seeds.flatMap((seed) => done.get(seed) ?? []);
}

const workerFile = fileURLToPath(new URL('./regimen/worker.ts', import.meta.url));

function runShare(
  seeds: readonly number[],
  particles: number,
  tell: (seed: number, trial: Trial) => void,
): Promise<void> {
  const worker = fork(workerFile, [String(particles), ...seeds.map(String)], {
    execArgv: ['--import', 'tsx'],
    serialization: 'advanced',
  });
  worker.on('message', ({ seed, trial }: { seed: number; trial: Trial }) => tell(seed, trial));
  return new Promise((resolve, reject) => {
    worker.on('error', reject);
    worker.on('exit', (code) => {
      if (code === 0) resolve();
      else reject(new Error(`a worker ended with ${code}`));
    });
  });
}

async function main(): Promise<void> {
  const { positionals, values } = parseArgs({
    allowPositionals: true,
    options: { workers: { type: 'string', default: '1' }, trace: { type: 'string' } },
  });
  const [tanks = 8, particles = 256, seed = 1] = positionals.map(Number);
  const seedOf = (tank: number): number => seed * 1000 + tank;
  if (values.trace !== undefined) return trace(seedOf(Number(values.trace) - 1), particles);
  const began = performance.now();
  const seeds = Array.from({ length: tanks }, (_, tank) => seedOf(tank));
  let count = 0;
  const trials = await runTrials(seeds, particles, Number(values.workers), (index, trial) => {
    const minutes = ((performance.now() - began) / 60_000).toFixed(1);
    console.log(`tank ${index + 1} (${++count} of ${tanks}, ${minutes} min): ${said(trial)}`);
  });
  console.log(`\n${tanks} tanks, ${particles} particles, seed ${seed}\n\n${summary(trials)}`);
}

if (process.argv[1]?.endsWith('regimen.ts')) await main();
