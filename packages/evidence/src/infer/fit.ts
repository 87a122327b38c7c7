import type { Hand } from '../hands/hand.ts';
import { type Model, prepare } from '../model/model.ts';
import type { Problem } from '../problem.ts';
import { finish } from './finish.ts';
import { drawPrior } from './particles.ts';
import { type FitSettings, type Posterior, type Progress, usualSettings } from './posterior.ts';
import { spread } from './spread.ts';
import type { Stir } from './stir.ts';
import { effectiveCount, normalise } from './weights.ts';

/** Share of effective particles kept when the likelihood is let in a little further. */
const keptPerLevel = 0.5;
const perLevel: Stir = { remembering: 0.3, mostSweeps: 12 };
const atLast: Stir = { remembering: 0.15, mostSweeps: 30 };
const mostLevels = 60;
/** Halvings of what is left of the likelihood until the next power is found. */
const halvings = 14;

/**
 * Fits a problem from scratch by tempered sequential Monte Carlo: particles are carried from the prior to the
 * posterior through powers of the likelihood chosen to keep half of them effective (Del Moral, Doucet & Jasra 2006,
 * JRSS B 68:411), moved at each until they have forgotten most of where they were (moves.ts). Yields progress after every
 * block of particles; abandon the generator to cancel. Same problem and settings: the same bytes, however many hands help.
 */
export function* fit(
  problem: Problem,
  chosen: Partial<FitSettings> = {},
  hands: readonly Hand[] = [],
): Generator<Progress, Posterior> {
  const settings = { ...usualSettings, ...chosen };
  const model = prepare(problem);
  const { particles, weights, ...annealed } = yield* anneal(model, settings, hands);
  const { temperature, levels, logEvidence } = annealed;
  const moved = yield* spread(model, particles, weights, temperature, atLast, hands);
  const warnings = temperature < 1 ? ['the fit did not come to its end: its bands may be too wide'] : [];
  return finish(model, settings, particles, logEvidence, { levels, moved, settled: true, warnings });
}

/** Logarithm of the marginal likelihood of a problem's readings: how well its suppositions foretold them. */
export function* logEvidenceOf(
  problem: Problem,
  chosen: Partial<FitSettings> = {},
): Generator<Progress, number> {
  const { logEvidence } = yield* anneal(prepare(problem), { ...usualSettings, ...chosen }, []);
  return logEvidence;
}

/** Carries particles from the prior to the whole likelihood; what is left is to take the last weights in. */
function* anneal(model: Model, settings: FitSettings, hands: readonly Hand[]) {
  const particles = yield* drawPrior(model, settings);
  const weights = new Float64Array(particles.count);
  let temperature = 0;
  let logEvidence = 0;
  for (let levels = 1; ; levels++) {
    const next = nextTemperature(particles.logLikelihoods, temperature, weights);
    logEvidence += reweigh(particles.logLikelihoods, next - temperature, weights);
    temperature = next;
    if (temperature === 1 || levels === mostLevels)
      return { particles, weights, temperature, logEvidence, levels };
    yield* spread(model, particles, weights, temperature, perLevel, hands);
  }
}

function reweigh(logLikelihoods: Float64Array, step: number, weights: Float64Array): number {
  return normalise(
    logLikelihoods.map((value) => step * value),
    weights,
  );
}

/** The largest next power of the likelihood that keeps enough particles effective, found by bisection. */
function nextTemperature(logLikelihoods: Float64Array, temperature: number, weights: Float64Array): number {
  const enough = (next: number): boolean => {
    reweigh(logLikelihoods, next - temperature, weights);
    return effectiveCount(weights) >= keptPerLevel * weights.length;
  };
  if (enough(1)) return 1;
  let low = temperature;
  let high = 1;
  for (let i = 0; i < halvings; i++) {
    const middle = (low + high) / 2;
    if (enough(middle)) low = middle;
    else high = middle;
  }
  return low > temperature ? low : high;
}
