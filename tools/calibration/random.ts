import { type Random, stream } from '../../packages/evidence/src/numbers/random.ts';

export { type Random, stream };

/** Lognormal variate from a median and the spread of its logarithm. */
export const around = (random: Random, median: number, spread: number): number =>
  median * Math.exp(spread * random.normal());

/** One of several things, all as likely. */
export const oneOf = <T>(random: Random, things: readonly T[]): T =>
  things[Math.floor(random.uniform() * things.length)]!;

export const chance = (random: Random, probability: number): boolean => random.uniform() < probability;
