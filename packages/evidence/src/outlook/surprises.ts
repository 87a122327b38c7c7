import type { Posterior } from '../infer/posterior.ts';
import { normalCdf } from '../numbers/normal.ts';
import { type Eyes, type Levels, offsetOf, signal } from '../observe/reading.ts';
import type { Instrument, Observation } from '../problem.ts';

/** How well the fit explains one reading it was given. */
export interface Surprise {
  /** Two-sided probability of a reading as far from the middle or farther; slips not counted. */
  readonly surprise: number;
  /** The reading lies above what the rest suggests. */
  readonly higher: boolean;
}

/** Particles asked: enough for a tail of one in a hundred. */
const asked = 256;

/** Posterior predictive check of every reading, in the order of the problem's observations (Gelman et al. 1996). */
export function surprisesOf(posterior: Posterior): Surprise[] {
  const { model, scores, settings } = posterior;
  const { problem } = model;
  const size = model.coordinates.length;
  const stride = Math.max(1, Math.floor(settings.particles / asked));
  const notAbove = new Float64Array(problem.observations.length);
  const notBelow = new Float64Array(problem.observations.length);
  let count = 0;
  for (let particle = 0; particle < settings.particles; particle += stride) {
    if (!model.follow(scores.subarray(particle * size, (particle + 1) * size))) continue;
    count++;
    for (const [index, observation] of problem.observations.entries()) {
      const instrument = problem.instruments[observation.instrument]!;
      const tails = model
        .rowsOf(index)
        .map((row) =>
          tailsOf(observation, instrument, model.levels(row), model.eyes(observation.instrument)),
        );
      notAbove[index] = notAbove[index]! + mean(tails.map((tail) => tail.notAbove));
      notBelow[index] = notBelow[index]! + mean(tails.map((tail) => tail.notBelow));
    }
  }
  return problem.observations.map((_, index) => {
    const [above, below] = [notAbove[index]! / count, notBelow[index]! / count];
    return { surprise: Math.min(1, 2 * Math.min(above, below)), higher: below < above };
  });
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

/** Chances that a fresh reading would come out no higher, and no lower, than the one taken. */
function tailsOf(
  observation: Observation,
  instrument: Instrument,
  levels: Levels,
  eyes: Eyes,
): { notAbove: number; notBelow: number } {
  const x = signal(instrument, levels, eyes) / observation.dilution;
  if (instrument.form === 'meter') {
    const below = normalCdf((observation.shown - x) / (instrument.floor + instrument.share * x));
    return { notAbove: below, notBelow: 1 - below };
  }
  const offset = offsetOf(instrument);
  const middle = Math.log(x + offset) + Math.log(eyes.bias);
  const cdf = (level: number): number =>
    level === Infinity ? 1 : level <= 0 ? 0 : normalCdf((Math.log(level + offset) - middle) / eyes.blur);
  return { notAbove: cdf(observation.high), notBelow: 1 - cdf(observation.low) };
}
