import type { Hand } from '../hands/hand.ts';
import { prepare } from '../model/model.ts';
import type { Problem } from '../problem.ts';
import { finish } from './finish.ts';
import { fit } from './fit.ts';
import { carried } from './particles.ts';
import type { Posterior, Progress } from './posterior.ts';
import { spread } from './spread.ts';
import type { Stir } from './stir.ts';
import { effectiveCount, normalise } from './weights.ts';

/** An answer is wanted at once after an update; there is time before the next. */
const atOnce: Stir = { remembering: 0.6, mostSweeps: 6 };
const inTime: Stir = { remembering: 0.3, mostSweeps: 26 };
/** An update whose weights leave fewer effective particles than this share starts over. */
const leastEffective = 0.1;
/**
 * So does one whose new readings are, each in the mean, less likely than this logarithm says: no particle foresaw them, all
 * take them for slips alike, and weights cannot tell.
 */
const leastForeseen = -4;

/**
 * Takes further readings in without starting over: particles are carried to the new problem by the names of their
 * coordinates (new ones drawn from the prior), weighted by the ratio of the two likelihoods, resampled and moved a little.
 * Falls back to a fresh fit where the new problem is too far from the old. Of many updates one after another, the particles
 * should settle in between.
 */
export function* update(
  previous: Posterior,
  problem: Problem,
  hands: readonly Hand[] = [],
): Generator<Progress, Posterior> {
  const { settings } = previous;
  const model = prepare(problem);
  const particles = yield* carried(previous, model);
  const logWeights = particles.logLikelihoods.map((value, i) => value - previous.logLikelihoods[i]!);
  const weights = new Float64Array(particles.count);
  const gain = normalise(logWeights, weights);
  const added = Math.max(0, problem.observations.length - previous.model.problem.observations.length);
  const unforeseen = gain === -Infinity || gain < leastForeseen * added;
  if (unforeseen || effectiveCount(weights) < leastEffective * particles.count)
    return yield* fit(problem, settings, hands);
  const moved = yield* spread(model, particles, weights, 1, atOnce, hands);
  const logEvidence = previous.logEvidence + gain;
  return finish(model, settings, particles, logEvidence, { levels: 0, moved, settled: false });
}

/** What each posterior settled to. */
const settledTo = new WeakMap<Posterior, Posterior>();

/**
 * Moves an updated posterior's particles on until they have forgotten most of where they were: the same posterior, by
 * better particles. Done once for each, so that it may be done ahead while nobody waits.
 */
export function* settle(posterior: Posterior, hands: readonly Hand[] = []): Generator<Progress, Posterior> {
  const known = posterior.onward.settled ? posterior : settledTo.get(posterior);
  if (known) return known;
  const { model, settings, logEvidence } = posterior;
  const particles = yield* carried(posterior, model);
  const equal = new Float64Array(particles.count).fill(1 / particles.count);
  const moved = yield* spread(model, particles, equal, 1, inTime, hands);
  const settled = finish(model, settings, particles, logEvidence, { levels: 0, moved, settled: true });
  settledTo.set(posterior, settled);
  return settled;
}
