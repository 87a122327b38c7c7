import { exp, log } from '@brinewright/nitrogen';
import { blockSize } from '../model/block.ts';
import type { Model } from '../model/model.ts';
import { lanes, putParticle, startOf, takeParticle } from '../numbers/fours.ts';
import { gamma, Random, wordOf } from '../numbers/random.ts';
import { freedom } from './cloud.ts';
import type { Shape } from './move/shape.ts';
import type { Particles } from './particles.ts';

/** Share of moves to be taken, how fast the share of axes follows it, and the least it comes down to. */
const wanted = 0.2;
const following = 3;
const leastShare = 0.04;

/** Key of the streams decisions are made by; those of proposals are named by the round alone. */
const decideKey = 8_000_000;

/** A sweep over a fold's particles. */
export interface Sweep {
  readonly from: number;
  readonly until: number;
  /** Power of the likelihood in the target. */
  readonly temperature: number;
  /** Names the streams. */
  readonly round: number;
  /** Share of the cloud's axes drawn afresh in one move. */
  readonly share: number;
}

/** The share to go on with after that many of the moves were taken. */
export const shareAfter = (share: number, acceptance: number): number =>
  Math.min(1, Math.max(leastShare, share * exp(following * (acceptance - wanted))));

/** Prepares to move particles by a shape. */
export function takeShape({ reader }: Model, { mover, room }: Particles, shape: Shape): void {
  mover.takeShape(shape);
  for (const [i, place] of reader.places.entries()) room.widths[i] = shape.cloud.spreads[place]!;
}

/**
 * Moves each of a fold's particles once by the shape taken and its readers a few times, leaving prior × likelihood^temperature
 * unchanged; returns the share of the water's moves taken. Yields after each block of particles. Every particle of every
 * round has streams of its own, so that order does not matter.
 */
export function* sweep(model: Model, particles: Particles, how: Sweep): Generator<void, number> {
  const { from, until } = how;
  let taken = 0;
  for (let first = from; first < until; first += blockSize) {
    const block = { ...how, first, count: Math.min(blockSize, until - first) };
    taken += moveWaters(model, particles, block);
    lookAgain(model, particles, block);
    yield;
  }
  return taken / (until - from);
}

/** Particles moved together. */
interface Block extends Sweep {
  readonly first: number;
  readonly count: number;
}

/** Tries another water for each particle of a block; returns how many took it. */
function moveWaters(
  model: Model,
  { size, scores, logLikelihoods, room, mover, seed }: Particles,
  { first, count, temperature, round, share }: Block,
): number {
  const proposed = new Float64Array(count);
  const needed = new Float64Array(count);
  const random = new Random();
  for (let i = 0; i < count; i++) {
    const particle = first + i;
    putParticle(scores, particle * size, mover.here, i, size);
    random.restart(seed, decideKey + round, particle);
    needed[i] = log(random.uniform());
    mover.gammas[i] = gamma(random, (freedom + size) / 2);
  }
  mover.propose(count, share, wordOf(seed, round), first);
  for (let i = 0; i < count; i++)
    needed[i] = logLikelihoods[first + i]! + (needed[i]! - mover.gains[i]!) / temperature;
  model.weighProposals(mover.values, count, needed, proposed);
  let taken = 0;
  for (let i = 0; i < count; i++) {
    const particle = first + i;
    if (proposed[i]! < needed[i]!) continue;
    takeParticle(mover.proposals, i, scores, particle * size, size);
    model.keep(i, room, particle);
    logLikelihoods[particle] = proposed[i]!;
    taken++;
  }
  return taken;
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
  { size, scores, logLikelihoods, room, seed }: Particles,
  { first, count, temperature, round }: Block,
): void {
  const each = places.length;
  const until = first + count;
  for (let particle = first; particle < until; particle++) {
    room.logLikelihoods[particle] = logLikelihoods[particle]!;
    for (let i = 0; i < each; i++)
      room.scores[startOf(particle, each) + lanes * i] = scores[particle * size + places[i]!]!;
  }
  room.lookAgain(first, until, { turns: looks, temperature, word: wordOf(seed, lookKey + round) });
  for (let particle = first; particle < until; particle++) {
    logLikelihoods[particle] = room.logLikelihoods[particle]!;
    for (let i = 0; i < each; i++)
      scores[particle * size + places[i]!] = room.scores[startOf(particle, each) + lanes * i]!;
  }
}
