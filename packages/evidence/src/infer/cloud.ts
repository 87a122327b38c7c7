import { log } from '@brinewright/nitrogen';
import { cholesky } from '../numbers/cholesky.ts';
import { lanes } from '../numbers/fours.ts';
import { beyondChance } from './beyond-chance.ts';

/** Centre and spread of a set of particles: the shape moves are drawn from. */
export interface Cloud {
  readonly size: number;
  readonly mean: Float64Array;
  /** Standard deviation along each coordinate. */
  readonly spreads: Float64Array;
  /** Lower Cholesky factor of the covariance, shape (size, size). */
  readonly lower: Float64Array;
}

/** Weighted sums over some particles; those of several sets add up. */
export interface Sums {
  weight: number;
  squaredWeight: number;
  /** Of the scores, shape (size). */
  readonly first: Float64Array;
  /** Of their products, lower triangle of shape (size, size). */
  readonly second: Float64Array;
}

/** Factor on the spread along every axis: a reference narrower than the target cannot find what it misses. */
const inflation = 1.1;

export const noSums = (size: number): Sums => ({
  weight: 0,
  squaredWeight: 0,
  first: new Float64Array(size),
  second: new Float64Array(size * size),
});

/** Sums over the particles from one to another. `scores`: shape (count, size). `weights`: non-negative. */
export function sumsOf(scores: Float64Array, weights: Float64Array, from: number, until: number): Sums {
  const sums = noSums(scores.length / weights.length);
  for (let particle = from; particle < until; particle++) {
    const weight = weights[particle]!;
    sums.weight += weight;
    sums.squaredWeight += weight * weight;
  }
  for (let particle = from; particle < until; particle += lanes)
    addFour(sums, scores, weights, particle, until);
  return sums;
}

/** Adds four particles' scores and products, fewer at the end: four at once, as most of the work is to fetch and keep sums. */
function addFour(
  { first, second }: Sums,
  scores: Float64Array,
  weights: Float64Array,
  particle: number,
  until: number,
): void {
  const size = first.length;
  const weight = (lane: number): number => (particle + lane < until ? weights[particle + lane]! : 0);
  const start = (lane: number): number => Math.min(until - 1, particle + lane) * size;
  const [aWeight, bWeight, cWeight, dWeight] = [weight(0), weight(1), weight(2), weight(3)];
  const [a, b, c, d] = [start(0), start(1), start(2), start(3)];
  for (let i = 0; i < size; i++) {
    const aScore = aWeight * scores[a + i]!;
    const bScore = bWeight * scores[b + i]!;
    const cScore = cWeight * scores[c + i]!;
    const dScore = dWeight * scores[d + i]!;
    first[i] = first[i]! + aScore + bScore + cScore + dScore;
    for (let j = 0, place = i * size; j <= i; j++, place++)
      second[place] =
        second[place]! +
        (aScore * scores[a + j]! + bScore * scores[b + j]!) +
        (cScore * scores[c + j]! + dScore * scores[d + j]!);
  }
}

/** Adds sums to others, in place. */
export function addSums(to: Sums, { weight, squaredWeight, first, second }: Sums): void {
  to.weight += weight;
  to.squaredWeight += squaredWeight;
  addTable(to.first, first);
  addTable(to.second, second);
}

function addTable(to: Float64Array, table: Float64Array): void {
  for (let i = 0; i < table.length; i++) to[i] = to[i]! + table[i]!;
}

/** What makes a mean of a sum; zero of none at all. */
const shareOf = ({ weight }: Sums): number => (weight > 0 ? 1 / weight : 0);

function meanOf(sums: Sums): Float64Array {
  const share = shareOf(sums);
  return sums.first.map((sum) => share * sum);
}

/** Covariance of the particles with these sums, shape (size, size); zero of none at all. */
export function covarianceOf(sums: Sums): Float64Array {
  const size = sums.first.length;
  const share = shareOf(sums);
  const mean = meanOf(sums);
  const covariance = new Float64Array(size * size);
  for (let i = 0; i < size; i++)
    for (let j = 0; j <= i; j++) {
      const value = share * sums.second[i * size + j]! - mean[i]! * mean[j]!;
      covariance[i * size + j] = value;
      covariance[j * size + i] = value;
    }
  return covariance;
}

/**
 * The cloud of particles with these sums; that of none at all is the prior's own. `axes`: along which their variances are
 * believed as far as they are beyond chance, one a row.
 */
export function cloudOf(sums: Sums, axes: Float64Array): Cloud {
  const { weight, squaredWeight } = sums;
  const mean = meanOf(sums);
  const size = mean.length;
  const effective = weight > 0 ? (weight * weight) / squaredWeight : 0;
  const believed = beyondChance(covarianceOf(sums), axes, size, effective).map(
    (value) => inflation ** 2 * value,
  );
  const spreads = mean.map((_, i) => Math.sqrt(believed[i * size + i]!));
  return { size, mean, spreads, lower: cholesky(believed, size) };
}

/** Degrees of freedom of the heavy-tailed reference the moves leave unchanged. */
export const freedom = 10;

/** Log density of the reference at a squared distance in the cloud's own units, up to a constant. */
export const referenceLogDensity = (cloud: Cloud, squared: number): number =>
  -0.5 * (freedom + cloud.size) * log(1 + squared / freedom);
