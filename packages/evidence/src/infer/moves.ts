import { log } from '@brinewright/nitrogen';
import { blockSize } from '../model/block.ts';
import type { Model } from '../model/model.ts';
import { lanes, putParticle, startOf, takeParticle } from '../numbers/fours.ts';
import { gamma, Random, wordOf } from '../numbers/random.ts';
import type { Weigher } from '../observe/shape.ts';
import { cloudOf, freedom } from './cloud.ts';
import type { Mover, Shape } from './move/shape.ts';
import { lean, leaningsOf } from './shear.ts';

/** Particles in the middle of a fit; changed in place. */
export interface Particles {
  readonly count: number;
  readonly size: number;
  /** Shape (count, size). */
  readonly scores: Float64Array;
  readonly logLikelihoods: Float64Array;
  /** What each particle's readings were taken in and by whom, so that another reader can be tried without a run. */
  readonly room: Weigher;
  readonly mover: Mover;
}

/**
 * Shares of the cloud's axes drawn afresh, taken in turn. All at once, if taken, forgets everything but seldom is; few at
 * a time find the way into corners that a cloud of an ellipse's shape misses.
 */
const shares = [0.15, 0.3, 1, 0.3] as const;
/** Key of the streams decisions are made by; those of proposals are named by the round alone. */
const decideKey = 8_000_000;

export function shapeOf(model: Model, scores: Float64Array, weights: Float64Array): Shape {
  const size = model.coordinates.length;
  const priors = model.coordinates.map(({ prior }) => prior);
  const leanings = leaningsOf(model, scores, weights);
  const straight = scores.slice();
  for (let from = 0; from < straight.length; from += size)
    lean(leanings, priors, straight.subarray(from, from + size), -1);
  return { leanings, cloud: cloudOf(straight, weights, size) };
}

export interface Sweep {
  /** Power of the likelihood in the target. */
  readonly temperature: number;
  readonly seed: number;
  /** Names the streams and the turn; every particle of every round has its own stream, so that order does not matter. */
  readonly round: number;
}

/**
 * Moves every particle once by the shape its mover has taken and its readers a few times, leaving prior ×
 * likelihood^temperature unchanged; returns the share of the water's moves taken. Yields after each block of particles.
 */
export function* sweep(
  model: Model,
  particles: Particles,
  { temperature, seed, round }: Sweep,
): Generator<void, number> {
  const { count, size, scores, logLikelihoods, room, mover } = particles;
  const proposed = new Float64Array(blockSize);
  const needed = new Float64Array(blockSize);
  const random = new Random();
  const word = wordOf(seed, round);
  let taken = 0;
  for (let from = 0; from < count; from += blockSize) {
    const block = Math.min(blockSize, count - from);
    for (let i = 0; i < block; i++) {
      const particle = from + i;
      putParticle(scores, particle * size, mover.here, i, size);
      random.restart(seed, decideKey + round, particle);
      needed[i] = log(random.uniform());
      mover.gammas[i] = gamma(random, (freedom + size) / 2);
    }
    mover.propose(block, shares[round % shares.length]!, word, from);
    for (let i = 0; i < block; i++)
      needed[i] = logLikelihoods[from + i]! + (needed[i]! - mover.gains[i]!) / temperature;
    model.weighProposals(mover.values, block, needed, proposed);
    for (let i = 0; i < block; i++) {
      const particle = from + i;
      if (proposed[i]! < needed[i]!) continue;
      takeParticle(mover.proposals, i, scores, particle * size, size);
      model.keep(i, room, particle);
      logLikelihoods[particle] = proposed[i]!;
      taken++;
    }
    lookAgain(model, particles, { from, block, temperature, seed, round });
    yield;
  }
  return taken / count;
}

/** Other readers tried after each run of the water. */
const looks = 4;
const lookKey = 7_000_000;

/**
 * Moves what only readings depend on, one kit's or the reader's unknown at a time, by steps as wide as the cloud or a
 * third of it; the water of each particle is left as it is.
 */
function lookAgain(
  { reader: { places } }: Model,
  { size, scores, logLikelihoods, room }: Particles,
  { from, block, temperature, seed, round }: { from: number; block: number } & Sweep,
): void {
  const each = places.length;
  for (let particle = from; particle < from + block; particle++)
    for (let i = 0; i < each; i++)
      room.scores[startOf(particle, each) + lanes * i] = scores[particle * size + places[i]!]!;
  room.lookAgain(from, from + block, { turns: looks, temperature, word: wordOf(seed, lookKey + round) });
  for (let particle = from; particle < from + block; particle++) {
    logLikelihoods[particle] = room.logLikelihoods[particle]!;
    for (let i = 0; i < each; i++)
      scores[particle * size + places[i]!] = room.scores[startOf(particle, each) + lanes * i]!;
  }
}
