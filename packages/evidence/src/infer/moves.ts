import type { Model } from '../model/model.ts';
import { stream } from '../numbers/random.ts';
import { type Cloud, distance, propose, referenceLogDensity } from './cloud.ts';

/** Particles in the middle of a fit; changed in place. */
export interface Particles {
  readonly count: number;
  readonly size: number;
  readonly scores: Float64Array;
  readonly logLikelihoods: Float64Array;
}

/** Solves between two chances to stop or to say how far it is. */
export const solvesPerPause = 64;

/** Minus half the squared length: the log prior of standard normal scores. */
function logPrior(scores: Float64Array): number {
  let square = 0;
  for (const score of scores) square += score * score;
  return -0.5 * square;
}

/**
 * Moves every particle once, leaving prior × likelihood^temperature unchanged; returns the share of moves taken.
 * Yields every `solvesPerPause` solves. Each particle draws from its own stream, so order does not matter.
 */
export function* moveAll(
  model: Model,
  particles: Particles,
  cloud: Cloud,
  { temperature, stride, seed, round }: { temperature: number; stride: number; seed: number; round: number },
): Generator<void, number> {
  const { count, size, scores, logLikelihoods } = particles;
  const proposal = new Float64Array(size);
  const noise = new Float64Array(size);
  const work = { a: new Float64Array(size), b: new Float64Array(size) };
  let taken = 0;
  for (let particle = 0; particle < count; particle++) {
    if (particle % solvesPerPause === solvesPerPause - 1) yield;
    const random = stream(seed, round, particle);
    const here = scores.subarray(particle * size, (particle + 1) * size);
    const from = distance(cloud, here, work);
    propose(cloud, here, from, stride, random, proposal, noise);
    const priorGain = logPrior(proposal) - logPrior(here);
    const referenceGain =
      referenceLogDensity(cloud, distance(cloud, proposal, work)) - referenceLogDensity(cloud, from);
    const luck = Math.log(random.uniform());
    const needed = luck - priorGain + referenceGain;
    const logLikelihood = model.logLikelihood(proposal);
    if (temperature * (logLikelihood - logLikelihoods[particle]!) < needed || logLikelihood === -Infinity)
      continue;
    here.set(proposal);
    logLikelihoods[particle] = logLikelihood;
    taken++;
  }
  return taken / count;
}
