import { log } from '@brinewright/nitrogen';
import type { Posterior } from '../infer/posterior.ts';
import { blockSize } from '../model/block.ts';
import type { Model } from '../model/model.ts';
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
  const drawn = Array.from({ length: Math.ceil(settings.particles / stride) }, (_, i) => i * stride);
  const block = new Float64Array(blockSize * size);
  const notAbove = new Float64Array(problem.observations.length);
  const notBelow = new Float64Array(problem.observations.length);
  let count = 0;
  for (let start = 0; start < drawn.length; start += blockSize) {
    const here = drawn.slice(start, start + blockSize);
    for (const [i, particle] of here.entries())
      block.set(scores.subarray(particle * size, (particle + 1) * size), i * size);
    model.run(block, here.length);
    for (const i of here.keys()) {
      if (!model.show(i)) continue;
      count++;
      for (const [index, observation] of problem.observations.entries()) {
        const tails = tailsAt(model, index, observation);
        notAbove[index] = notAbove[index]! + tails.notAbove;
        notBelow[index] = notBelow[index]! + tails.notBelow;
      }
    }
  }
  return problem.observations.map((_, index) => {
    const [above, below] = [notAbove[index]! / count, notBelow[index]! / count];
    return { surprise: Math.min(1, 2 * Math.min(above, below)), higher: below < above };
  });
}

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

/** The shown particle's chances, over the rows a reading may have been taken in. */
function tailsAt(
  model: Model,
  index: number,
  observation: Observation,
): { notAbove: number; notBelow: number } {
  const instrument = model.problem.instruments[observation.instrument]!;
  const eyes = model.eyes(observation.instrument);
  const tails = model.rowsOf(index).map((row) => tailsOf(observation, instrument, model.levels(row), eyes));
  return {
    notAbove: mean(tails.map((tail) => tail.notAbove)),
    notBelow: mean(tails.map((tail) => tail.notBelow)),
  };
}

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
  const middle = log(x + offset) + log(eyes.bias);
  const cdf = (level: number): number =>
    level === Infinity ? 1 : level <= 0 ? 0 : normalCdf((log(level + offset) - middle) / eyes.blur);
  return { notAbove: cdf(observation.high), notBelow: 1 - cdf(observation.low) };
}
