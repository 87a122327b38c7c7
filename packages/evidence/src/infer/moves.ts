import { log } from '@brinewright/nitrogen';
import { blockSize } from '../model/block.ts';
import type { Model } from '../model/model.ts';
import { Random } from '../numbers/random.ts';
import { lanes, startOf, type Weigher } from '../observe/shape.ts';
import { type Cloud, cloudOf, distance, propose, referenceLogDensity } from './cloud.ts';
import { type Shear, shearOf } from './shear.ts';

/** Particles in the middle of a fit; changed in place. */
export interface Particles {
  readonly count: number;
  readonly size: number;
  /** Shape (count, size). */
  readonly scores: Float64Array;
  readonly logLikelihoods: Float64Array;
  /** What each particle's readings were taken in and by whom, so that another reader can be tried without a run. */
  readonly room: Weigher;
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

/** The shape moves are drawn from: a cloud about particles straightened by a shear. */
export interface Shape {
  readonly cloud: Cloud;
  readonly shear: Shear;
}

export function shapeOf(model: Model, scores: Float64Array, weights: Float64Array): Shape {
  const size = model.coordinates.length;
  const shear = shearOf(model, scores, weights);
  const straight = scores.slice();
  for (let from = 0; from < straight.length; from += size)
    shear.straighten(straight.subarray(from, from + size));
  return { shear, cloud: cloudOf(straight, weights, size) };
}

export interface Sweep {
  /** Power of the likelihood in the target. */
  readonly temperature: number;
  readonly seed: number;
  /** Names the streams and the turn; every particle of every round has its own stream, so that order does not matter. */
  readonly round: number;
}

/**
 * Moves every particle once and its readers a few times, leaving prior × likelihood^temperature unchanged; returns the
 * share of the water's moves taken.
 * Yields after each block of particles.
 */
export function* sweep(
  model: Model,
  particles: Particles,
  shape: Shape,
  { temperature, seed, round }: Sweep,
): Generator<void, number> {
  const { count, size, scores, logLikelihoods, room } = particles;
  const proposeTo = proposer(turns[round % turns.length]!, shape);
  const proposals = new Float64Array(blockSize * size);
  const proposed = new Float64Array(blockSize);
  const needed = new Float64Array(blockSize);
  const random = new Random();
  let taken = 0;
  for (let from = 0; from < count; from += blockSize) {
    const block = Math.min(blockSize, count - from);
    for (let i = 0; i < block; i++) {
      const particle = from + i;
      random.restart(seed, round, particle);
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
      model.keep(i, room, particle);
      logLikelihoods[particle] = proposed[i]!;
      taken++;
    }
    lookAgain(model, particles, shape, { from, block, temperature, seed, round });
    yield;
  }
  return taken / count;
}

/** Writes a proposal; returns the logarithm of the chance its target density is weighed with, before the likelihood. */
type Propose = (proposal: Float64Array, here: Float64Array, random: Random) => number;

function proposer(turn: Turn, { cloud, shear }: Shape): Propose {
  if (turn === 'shake') return shake;
  const work = { a: new Float64Array(cloud.size), b: new Float64Array(cloud.size) };
  const straight = new Float64Array(cloud.size);
  return (proposal, here, random) => {
    straight.set(here);
    shear.straighten(straight);
    const from = distance(cloud, straight, work);
    propose(cloud, straight, from, strideOf[turn], random, proposal, work.a);
    const reference =
      referenceLogDensity(cloud, distance(cloud, proposal, work)) - referenceLogDensity(cloud, from);
    shear.bend(proposal);
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

/** Other readers tried after each run of the water: together they cost less than half of it. */
const looks = 3;
const lookKey = 7_000_000;

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
      const index = Math.floor(random.uniform() * places.length);
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
