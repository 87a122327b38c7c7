import type { Model } from '../model/model.ts';
import { lanes } from '../numbers/fours.ts';
import { axesOf } from './beyond-chance.ts';
import { addSums, cloudOf, covarianceOf, noSums, type Sums, sumsOf } from './cloud.ts';
import type { Shape } from './move/shape.ts';
import type { Leaning } from './shear.ts';
import { straightened } from './straighten.ts';

/** Particles that are moved by one shape; plain data, so that another thread can move them. */
export interface Fold {
  readonly from: number;
  readonly until: number;
  readonly leanings: readonly Leaning[];
  /** Axes of all particles, straightened, one a row of shape (size, size). */
  readonly axes: Float64Array;
  /** Of the other particles, straightened. */
  readonly others: Sums;
}

export const shapeOf = ({ leanings, axes, others }: Fold): Shape => ({
  leanings,
  cloud: cloudOf(others, axes),
});

const mostFolds = 4;
/** Hands that find something to do in one fit, beside the thread that asks. */
export const mostHands = mostFolds - 1;

/**
 * The shapes particles are to be moved by once each of them has been taken from the one chosen for it. A fold of them is moved
 * by the cloud of those that none of it comes from: a cloud knows the particles it is made of too well, calls those that lie
 * far out usual and lets them come in, while none goes out in their stead (docs/decisions/0035). The directions of its axes
 * are those of all particles, which so few of them leave less to chance (docs/decisions/0044).
 *
 * `scores`: shape (count, coordinates). `chosen`: ascending.
 */
export function foldsOf(
  model: Model,
  scores: Float64Array,
  weights: Float64Array,
  chosen: Int32Array,
): Fold[] {
  const size = model.coordinates.length;
  const { leanings, straight } = straightened(model, scores, weights);
  const each = lanes * Math.ceil(chosen.length / (lanes * mostFolds));
  const parts = Array.from({ length: Math.ceil(chosen.length / each) }, (_, fold) => {
    const [from, until] = [fold * each, Math.min(chosen.length, (fold + 1) * each)];
    return { from, until, first: chosen[from]!, last: chosen[until - 1]! };
  });
  const cuts = parts.flatMap(({ first, last }) => [first, last + 1]);
  const stretches = stretchesBetween([0, ...cuts, weights.length]).map(([from, until]) => ({
    from,
    sums: sumsOf(straight, weights, from, until),
  }));
  const axes = axesOf(covarianceOf(sumOf(stretches, size)), size);
  return parts.map(({ from, until, first, last }): Fold => {
    const others = stretches.filter((stretch) => stretch.from < first || stretch.from > last);
    return { from, until, leanings, axes, others: sumOf(others, size) };
  });
}

function stretchesBetween(cuts: readonly number[]): [number, number][] {
  const ordered = [...new Set(cuts)].sort((a, b) => a - b);
  return ordered.slice(1).map((until, i) => [ordered[i]!, until]);
}

function sumOf(stretches: readonly { readonly sums: Sums }[], size: number): Sums {
  const all = noSums(size);
  for (const { sums } of stretches) addSums(all, sums);
  return all;
}
