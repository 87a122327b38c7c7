import { trialOf } from './trial.ts';

/** Runs the trials of the seeds it is given, one after another, and sends each to its parent as it is done. */
const [particles = 0, ...seeds] = process.argv.slice(2).map(Number);
for (const seed of seeds) process.send!({ seed, trial: trialOf(seed, particles) });
