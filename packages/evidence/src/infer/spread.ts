import type { Hand } from '../hands/hand.ts';
import { shareOut } from '../hands/share-out.ts';
import type { Model } from '../model/model.ts';
import { stream } from '../numbers/random.ts';
import { foldsOf } from './folds.ts';
import { choose, type Particles, portionOf, putPortion } from './particles.ts';
import type { Progress } from './posterior.ts';
import { type Stir, type Stirred, stirred } from './stir.ts';
import { resample } from './weights.ts';

/** Key of the streams that choose particles. */
const chooseKey = 5_000_000;

/** How the particles moved: the share of moves taken, and how much of where they were they still remember. */
export type Moved = Pick<Stirred, 'acceptance' | 'remembered'>;

/** Resamples weighted particles in place and moves them; `temperature` is the power of the likelihood in their target. */
export function* spread(
  model: Model,
  particles: Particles,
  weights: Float64Array,
  temperature: number,
  stir: Stir,
  hands: readonly Hand[],
): Generator<Progress, Moved> {
  const { seed, round, share, count } = particles;
  const random = stream(seed, chooseKey, round);
  const chosen = resample(weights, random.uniform(), count);
  const folds = foldsOf(model, particles.scores, weights, chosen);
  choose(particles, chosen);
  const progress = { fraction: 0.05 + 0.9 * Math.sqrt(temperature), said: 'weighing the readings' };
  const [solves, evaluations] = [model.solves(), model.evaluations()];
  const stirring = { ...stir, temperature, round, share };
  const moved = yield* shareOut(
    folds,
    hands,
    {
      here: (fold) => stirred(model, particles, fold, stirring),
      there: (hand, fold) => {
        const settings = { seed, particles: count };
        const portion = portionOf(particles, fold);
        return hand.ask(model.problem, { do: 'stir', settings, fold, stirring, portion });
      },
      take: (fold, found) => {
        putPortion(particles, fold.from, found.portion);
        return found.stirred;
      },
    },
    () => progress,
  );
  const sum = (of: (one: Stirred) => number): number => moved.reduce((all, one) => all + of(one), 0);
  model.recount({
    solves: solves + sum((one) => one.solves),
    evaluations: evaluations + sum((one) => one.evaluations),
  });
  const mean = (of: (one: Stirred) => number): number =>
    moved.reduce((sum, one, i) => sum + of(one) * (folds[i]!.until - folds[i]!.from), 0) / count;
  particles.round += Math.max(...moved.map(({ sweeps }) => sweeps));
  particles.share = mean((one) => one.share);
  return { acceptance: mean((one) => one.acceptance), remembered: mean((one) => one.remembered) };
}
