import { EigenvalueDecomposition, Matrix } from 'ml-matrix';

/** Least variance along an axis; rounding may leave less, even none. */
const leastVariance = 1e-6;

/** The principal axes of a covariance, one a row. Both of shape (size, size). */
export function axesOf(covariance: Float64Array, size: number): Float64Array {
  const found = new EigenvalueDecomposition(Matrix.from1DArray(size, size, covariance), {
    assumeSymmetric: true,
  });
  return Float64Array.from(found.eigenvectorMatrix.transpose().to1DArray());
}

/**
 * What a covariance found from draws says beyond chance. The prior's own is the unit matrix, and of few draws in many
 * dimensions even its covariance is found stretched along some axes and squeezed along others. Along an axis where the
 * variance found is within that scatter it is taken as 1; elsewhere as what draws of that number show so on average
 * (Donoho, Gavish & Johnstone 2018, Annals of Statistics 46:1742, the spiked model under squared loss).
 *
 * `covariance` and `axes`: shape (size, size), the first symmetric, the second its axes or those of more draws, one a row.
 * `draws`: effective number of draws, at least 0; at 0 the unit matrix comes out.
 */
export function beyondChance(
  covariance: Float64Array,
  axes: Float64Array,
  size: number,
  draws: number,
): Float64Array {
  const believed = new Float64Array(size * size);
  for (let i = 0; i < size; i++) believed[i * size + i] = 1;
  for (let axis = 0; axis < size; axis++) {
    const along = axes.subarray(axis * size, (axis + 1) * size);
    const more = varianceBehind(varianceAlong(covariance, along), size / draws) - 1;
    if (more === 0) continue;
    for (let i = 0; i < size; i++) {
      const share = more * along[i]!;
      for (let j = 0; j < size; j++) believed[i * size + j] = believed[i * size + j]! + share * along[j]!;
    }
  }
  return believed;
}

/** Variance along a direction of length 1. */
function varianceAlong(covariance: Float64Array, along: Float64Array): number {
  let variance = 0;
  for (let i = 0, place = 0; i < along.length; i++) {
    let sum = 0;
    for (let j = 0; j < along.length; j++, place++) sum += covariance[place]! * along[j]!;
    variance += sum * along[i]!;
  }
  return variance;
}

/**
 * Variance to be expected along an axis with the variance found along it, 1 where chance alone finds as much.
 * `crowding`: dimensions per draw. At 0.2, variances from 0.31 to 2.09 become 1, 0.1 becomes 0.169 and 4 becomes 3.47.
 */
export function varianceBehind(variance: number, crowding: number): number {
  const found = Math.max(leastVariance, variance);
  const scatter = Math.sqrt(crowding);
  if (found >= Math.max(0, 1 - scatter) ** 2 && found <= (1 + scatter) ** 2) return 1;
  const middle = (1 + found - crowding) / 2;
  const away = Math.sqrt(Math.max(0, middle * middle - found));
  // The true variance along the true axis, and the squared cosine between that and the axis found.
  const behind = found < 1 ? middle - away : middle + away;
  const cosine = (1 - crowding / (behind - 1) ** 2) / (1 + crowding / (behind - 1));
  return cosine * behind + 1 - cosine;
}
