import type { Model } from '../model/model.ts';
import { remembered } from './diagnose.ts';
import { type Fold, shapeOf } from './folds.ts';
import { shareAfter, sweep, takeShape } from './moves.ts';
import type { Particles } from './particles.ts';

/** Particles are moved until they remember no more than this of where they were, or have been moved this often. */
export interface Stir {
  readonly remembering: number;
  readonly mostSweeps: number;
}

export interface Stirring extends Stir {
  /** Power of the likelihood in the target. */
  readonly temperature: number;
  /** Names the streams of the first sweep; the next have the numbers after it. */
  readonly round: number;
  /** Share of the cloud's axes drawn afresh in the first sweep. */
  readonly share: number;
}

/** How a fold's particles moved. */
export interface Stirred {
  readonly sweeps: number;
  /** Share of axes to go on with. */
  readonly share: number;
  /** Share of moves taken. */
  readonly acceptance: number;
  /** How much of where they were they still remember. */
  readonly remembered: number;
  /** Runs of the water it took, and derivative evaluations in them. */
  readonly solves: number;
  readonly evaluations: number;
}

/** Moves a fold's particles, in place. What comes of them depends on no other fold. */
export function* stirred(
  model: Model,
  particles: Particles,
  fold: Fold,
  stirring: Stirring,
): Generator<void, Stirred> {
  const { from, until } = fold;
  const { remembering, mostSweeps, temperature, round } = stirring;
  takeShape(model, particles, shapeOf(fold));
  const { size } = particles;
  const here = particles.scores.subarray(from * size, until * size);
  const began = here.slice();
  const [solves, evaluations] = [model.solves(), model.evaluations()];
  let [sweeps, share, taken, left] = [0, stirring.share, 0, 1];
  for (; sweeps < mostSweeps && left > remembering; sweeps++) {
    const acceptance = yield* sweep(model, particles, {
      from,
      until,
      temperature,
      round: round + sweeps,
      share,
    });
    share = shareAfter(share, acceptance);
    taken += acceptance;
    left = remembered(began, here, size);
  }
  return {
    sweeps,
    share,
    acceptance: sweeps > 0 ? taken / sweeps : 0,
    remembered: left,
    solves: model.solves() - solves,
    evaluations: model.evaluations() - evaluations,
  };
}
