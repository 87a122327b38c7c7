import { exp, log } from '@brinewright/nitrogen';

/** Normalises log weights in place of `weights`; returns the logarithm of their mean. −Infinity means weight zero. */
export function normalise(logWeights: Float64Array, weights: Float64Array): number {
  let most = -Infinity;
  for (const value of logWeights) if (value > most) most = value;
  if (most === -Infinity) return -Infinity;
  let sum = 0;
  for (let i = 0; i < logWeights.length; i++) {
    const weight = exp(logWeights[i]! - most);
    weights[i] = weight;
    sum += weight;
  }
  for (let i = 0; i < weights.length; i++) weights[i] = weights[i]! / sum;
  return most + log(sum / weights.length);
}

/** Kong's effective number of weighted draws: 1 / Σ w². */
export function effectiveCount(weights: Float64Array): number {
  let squares = 0;
  for (const weight of weights) squares += weight * weight;
  return 1 / squares;
}

/** Systematic resampling: the particle each of `count` places is taken from. `u` uniform on (0, 1). */
export function resample(weights: Float64Array, u: number, count: number): Int32Array {
  const from = new Int32Array(count);
  let cumulative = weights[0]!;
  let source = 0;
  for (let place = 0; place < count; place++) {
    const target = (place + u) / count;
    while (cumulative < target && source < weights.length - 1) cumulative += weights[++source]!;
    from[place] = source;
  }
  return from;
}
