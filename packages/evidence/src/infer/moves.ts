import { log } from '@brinewright/nitrogen';
import { blockSize } from '../model/block.ts';
import type { Model } from '../model/model.ts';
import { lanes, putParticle, startOf, takeParticle } from '../numbers/fours.ts';
import { gamma, Random, wordOf } from '../numbers/random.ts';
import { commonEyes, type Weigher } from '../observe/shape.ts';
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
 * Kinds of move, taken in turn. A reach proposes afresh from the cloud and a step goes part of the way: they follow what
 * coordinates share, and a reach that is taken forgets everything. A shake draws a few coordinates afresh from the prior
 * and leaves the others: it loosens what the cloud holds too tightly.
 */
const turns = ['reach', 'step', 'reach', 'shake'] as const;
const strideOf = { reach: 1, step: 0.6 } as const;
/** Share of coordinates a shake moves, and how far towards fresh draws from the prior. */
const shakenShare = 0.08;
const shakeStride = 1;
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
  shape: Shape,
  { temperature, seed, round }: Sweep,
): Generator<void, number> {
  const { count, size, scores, logLikelihoods, room, mover } = particles;
  const turn = turns[round % turns.length]!;
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
      if (turn !== 'shake') mover.gammas[i] = gamma(random, (freedom + size) / 2);
    }
    if (turn === 'shake') mover.shake(block, shakenShare, shakeStride, word, from);
    else mover.propose(block, strideOf[turn], word, from);
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
    lookAgain(model, particles, shape, { from, block, temperature, seed, round });
    yield;
  }
  return taken / count;
}

/** Other readers tried after each run of the water: together they cost half of it. */
const looks = 4;
const lookKey = 7_000_000;

/** The blur is tried each time: of all unknowns it is the slowest to forget. */
const eyeOfBlur = commonEyes.indexOf('blur');

/**
 * Moves what only readings depend on, one kit's or the reader's unknown at a time, by steps as wide as the cloud or a
 * third of it; the water of each particle is left as it is.
 */
function lookAgain(
  model: Model,
  { size, scores, logLikelihoods, room }: Particles,
  { cloud }: Shape,
  { from, block, temperature, seed, round }: { from: number; block: number } & Sweep,
): void {
  const { places, seenBy } = model.reader;
  const random = new Random();
  const needed = new Float64Array(block);
  const changed = new Int32Array(block);
  const scoresBefore = new Float64Array(block);
  const eyesBefore = new Float64Array(block);
  for (let turn = 0; turn < looks; turn++) {
    for (let i = 0; i < block; i++) {
      random.restart(seed, lookKey + looks * round + turn, from + i);
      const index = turn === 0 ? eyeOfBlur : Math.floor(random.uniform() * places.length);
      const at = (from + i) * size + places[index]!;
      const eye = startOf(from + i, places.length) + lanes * index;
      changed[i] = index;
      scoresBefore[i] = scores[at]!;
      eyesBefore[i] = room.eyes[eye]!;
      const width = (turn % 2 === 0 ? 2.4 : 0.8) * cloud.spreads[places[index]!]!;
      scores[at] = scores[at]! + width * random.normal();
      room.eyes[eye] = seenBy(index, scores[at]!);
      needed[i] = log(random.uniform());
    }
    room.weigh(from, from + block);
    for (let i = 0; i < block; i++) {
      const at = (from + i) * size + places[changed[i]!]!;
      const found = room.logLikelihoods[from + i]!;
      const prior = 0.5 * (scoresBefore[i]! ** 2 - scores[at]! ** 2);
      const gain = temperature * (found - logLikelihoods[from + i]!) + prior;
      if (needed[i]! < gain) logLikelihoods[from + i] = found;
      else {
        scores[at] = scoresBefore[i]!;
        room.eyes[startOf(from + i, places.length) + lanes * changed[i]!] = eyesBefore[i]!;
      }
    }
  }
}
