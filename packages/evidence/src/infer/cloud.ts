import { log } from '@brinewright/nitrogen';
import { cholesky } from '../numbers/cholesky.ts';
import { effectiveCount } from './weights.ts';

/** Centre and spread of a set of particles: the shape moves are drawn from. */
export interface Cloud {
  readonly size: number;
  readonly mean: Float64Array;
  /** Standard deviation along each coordinate. */
  readonly spreads: Float64Array;
  /** Lower Cholesky factor of the covariance, shape (size, size). */
  readonly lower: Float64Array;
}

/** Factor on the spread along every axis: a reference narrower than the target cannot find what it misses. */
const inflation = 1.1;

/**
 * Weighted mean and covariance of particles.
 * `scores`: shape (count, size). `weights`: non-negative, summing to 1. The fewer effective particles, the more of
 * the prior's own covariance, the unit matrix, is mixed in: a sample covariance of few draws is too narrow.
 */
export function cloudOf(scores: Float64Array, weights: Float64Array, size: number): Cloud {
  const count = weights.length;
  const unit = size / (size + effectiveCount(weights));
  const mean = new Float64Array(size);
  for (let particle = 0; particle < count; particle++)
    for (let i = 0; i < size; i++) mean[i] = mean[i]! + weights[particle]! * scores[particle * size + i]!;
  const covariance = new Float64Array(size * size);
  const centred = new Float64Array(size);
  for (let particle = 0; particle < count; particle++) {
    const weight = weights[particle]!;
    if (weight === 0) continue;
    for (let i = 0; i < size; i++) centred[i] = scores[particle * size + i]! - mean[i]!;
    for (let i = 0; i < size; i++) {
      const scaled = weight * centred[i]!;
      for (let j = 0; j <= i; j++)
        covariance[i * size + j] = covariance[i * size + j]! + scaled * centred[j]!;
    }
  }
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      const value = inflation ** 2 * ((1 - unit) * covariance[i * size + j]! + (i === j ? unit : 0));
      covariance[i * size + j] = value;
      covariance[j * size + i] = value;
    }
  }
  const spreads = Float64Array.from(mean, (_, i) => Math.sqrt(covariance[i * size + i]!));
  return { size, mean, spreads, lower: cholesky(covariance, size) };
}

/** Degrees of freedom of the heavy-tailed reference the moves leave unchanged. */
export const freedom = 10;

/** Log density of the reference at a squared distance in the cloud's own units, up to a constant. */
export const referenceLogDensity = (cloud: Cloud, squared: number): number =>
  -0.5 * (freedom + cloud.size) * log(1 + squared / freedom);
