import { log } from '@brinewright/nitrogen';
import { blockSize } from '../model/block.ts';
import type { Model } from '../model/model.ts';
import { type Random, stream } from '../numbers/random.ts';
import { type Cloud, distance, propose, referenceLogDensity } from './cloud.ts';

/** Particles in the middle of a fit; changed in place. */
export interface Particles {
  readonly count: number;
  readonly size: number;
  /** Shape (count, size). */
  readonly scores: Float64Array;
  readonly logLikelihoods: Float64Array;
}

/**
 * Kinds of move, taken in turn. A reach proposes afresh from the cloud and a step a third of the way: they follow what
 * coordinates share. A shake redraws some coordinates towards the prior and leaves the others: it loosens what the
 * cloud holds too tightly.
 */
const turns = ['reach', 'shake', 'step', 'shake'] as const;
type Turn = (typeof turns)[number];
const strideOf = { reach: 1, step: 0.4 } as const;
/** Share of coordinates a shake moves, and how far towards fresh draws from the prior. */
const shakenShare = 0.3;
const shakeStride = 0.6;

export interface Sweep {
  /** Power of the likelihood in the target. */
  readonly temperature: number;
  readonly seed: number;
  /** Names the streams and the turn; every particle of every round has its own stream, so that order does not matter. */
  readonly round: number;
}

/**
 * Moves every particle once, leaving prior × likelihood^temperature unchanged; returns the share of moves taken.
 * Yields after each block of particles.
 */
export function* sweep(
  model: Model,
  particles: Particles,
  cloud: Cloud,
  { temperature, seed, round }: Sweep,
): Generator<void, number> {
  const { count, size, scores, logLikelihoods } = particles;
  const proposeTo = proposer(turns[round % turns.length]!, cloud);
  const proposals = new Float64Array(blockSize * size);
  const proposed = new Float64Array(blockSize);
  const needed = new Float64Array(blockSize);
  let taken = 0;
  for (let from = 0; from < count; from += blockSize) {
    const block = Math.min(blockSize, count - from);
    for (let i = 0; i < block; i++) {
      const particle = from + i;
      const random = stream(seed, round, particle);
      const here = scores.subarray(particle * size, (particle + 1) * size);
      const gain = proposeTo(proposals.subarray(i * size, (i + 1) * size), here, random);
      needed[i] = log(random.uniform()) - gain;
    }
    model.logLikelihoods(proposals, block, proposed);
    for (let i = 0; i < block; i++) {
      const particle = from + i;
      if (proposed[i] === -Infinity) continue;
      if (temperature * (proposed[i]! - logLikelihoods[particle]!) < needed[i]!) continue;
      scores.set(proposals.subarray(i * size, (i + 1) * size), particle * size);
      logLikelihoods[particle] = proposed[i]!;
      taken++;
    }
    yield;
  }
  return taken / count;
}

/** Writes a proposal; returns the logarithm of the chance its target density is weighed with, before the likelihood. */
type Propose = (proposal: Float64Array, here: Float64Array, random: Random) => number;

function proposer(turn: Turn, cloud: Cloud): Propose {
  if (turn === 'shake') return shake;
  const work = { a: new Float64Array(cloud.size), b: new Float64Array(cloud.size) };
  return (proposal, here, random) => {
    const from = distance(cloud, here, work);
    propose(cloud, here, from, strideOf[turn], random, proposal, work.a);
    const reference =
      referenceLogDensity(cloud, distance(cloud, proposal, work)) - referenceLogDensity(cloud, from);
    return logPrior(proposal) - logPrior(here) - reference;
  };
}

/** A Crank–Nicolson step of some coordinates, which leaves the prior unchanged and so gains nothing by itself. */
function shake(proposal: Float64Array, here: Float64Array, random: Random): number {
  const keep = Math.sqrt(1 - shakeStride * shakeStride);
  for (let i = 0; i < here.length; i++)
    proposal[i] = random.uniform() < shakenShare ? keep * here[i]! + shakeStride * random.normal() : here[i]!;
  return 0;
}

/** Minus half the squared length: the log prior of standard normal scores. */
function logPrior(scores: Float64Array): number {
  let square = 0;
  for (const score of scores) square += score * score;
  return -0.5 * square;
}
