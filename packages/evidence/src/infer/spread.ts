import type { Model } from '../model/model.ts';
import { stream } from '../numbers/random.ts';
import { remembered } from './diagnose.ts';
import { foldsOf } from './folds.ts';
import { sweep } from './moves.ts';
import { choose, type Particles } from './particles.ts';
import type { Progress } from './posterior.ts';
import { resample } from './weights.ts';

/** Particles are moved until they remember no more than this of where they were, or have been moved this often. */
export interface Stir {
  readonly remembering: number;
  readonly mostSweeps: number;
}

/** Key of the streams that choose particles. */
const chooseKey = 5_000_000;

/** How the particles moved: the share of moves taken, and how much of where they were they still remember. */
export interface Moved {
  readonly acceptance: number;
  readonly remembered: number;
}
const unmoved: Moved = { acceptance: 0, remembered: 1 };

/** Resamples weighted particles in place and moves them; `temperature` is the power of the likelihood in their target. */
export function* spread(
  model: Model,
  particles: Particles,
  weights: Float64Array,
  temperature: number,
  stir: Stir,
): Generator<Progress, Moved> {
  const random = stream(particles.seed, chooseKey, particles.round);
  const chosen = resample(weights, random.uniform(), particles.count);
  const folds = foldsOf(model, particles.scores, weights, chosen);
  choose(particles, chosen);
  const began = particles.scores.slice();
  const fraction = 0.05 + 0.9 * Math.sqrt(temperature);
  let taken = 0;
  let moved = unmoved;
  for (let turn = 0; turn < stir.mostSweeps && moved.remembered > stir.remembering; turn++) {
    const steps = sweep(model, particles, folds, temperature);
    let step = steps.next();
    for (; !step.done; step = steps.next()) yield { fraction, said: 'weighing the readings' };
    taken += step.value;
    moved = { acceptance: taken / (turn + 1), remembered: remembered(began, particles) };
  }
  return moved;
}
