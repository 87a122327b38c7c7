import { type Prior, valueAt } from '@brinewright/nitrogen';
import { type Coordinate, spellDays } from '../model/coordinates.ts';
import type { Model } from '../model/model.ts';
import type { Problem } from '../problem.ts';

/**
 * How many bacteria there were at first hardly shows; how many there are on the day they become noticed does, and that is
 * the first number times an exponential of growth and liveliness until then. Readings so draw the particles out along a
 * bent ridge, which no cloud of an ellipse's shape fits. A shear straightens it: the score of an inoculum less a multiple
 * of the growth until a chosen day. It moves no volume, so that densities stay as they are. One leaning shears one inoculum.
 */
export interface Leaning extends Ridge {
  readonly slope: number;
  /** Spells until the chosen day: the coordinate of the vigour in each, and its days. */
  readonly lively: readonly { readonly vigour: number; readonly days: number }[];
}

/** A group of bacteria brought in: the coordinates of its size, its growth and its waking. */
interface Ridge {
  readonly size: number;
  readonly growth: number;
  readonly wake: number;
}

/** Days between those tried. */
const dayStep = 3;

/** Straightens (−1) or bends (1) a particle's scores, in place. */
export function lean(
  leanings: readonly Leaning[],
  priors: readonly Prior[],
  scores: Float64Array,
  sign: 1 | -1,
): void {
  const value = (place: number): number => valueAt(priors[place]!, scores[place]!);
  for (const { size, growth, wake, slope, lively } of leanings) {
    let days = 0;
    for (const spell of lively) days += spell.days * value(spell.vigour);
    scores[size] = scores[size]! + sign * slope * value(growth) * Math.max(0, days - value(wake));
  }
}

function ridgesOf(coordinates: readonly Coordinate[], problem: Problem): (Ridge & { from: number })[] {
  const places = new Map(coordinates.map(({ name }, index) => [name, index]));
  const firstCulture = problem.deeds.find(({ kind }) => kind === 'culture')?.day ?? 0;
  const groups = [
    ['inoculum', 'A', 0],
    ['ratio', 'N', 0],
    ['culture', 'A', firstCulture],
    ['cultureRatio', 'N', firstCulture],
    ['media', 'A', firstCulture],
    ['mediaRatio', 'N', firstCulture],
  ] as const;
  return groups.flatMap(([name, group, from]) => {
    const size = places.get(name);
    const [growth, wake] = [places.get(`growth${group}`)!, places.get(`wake${group}`)!];
    return size === undefined ? [] : [{ size, growth, wake, from }];
  });
}

/** Particles of these weights straightened by the leanings that leave least of their inocula's spread. */
export function straightened(
  { coordinates, problem }: Model,
  scores: Float64Array,
  weights: Float64Array,
): { leanings: Leaning[]; straight: Float64Array } {
  const size = coordinates.length;
  const scoresOf = (place: number) => weights.map((_, i) => scores[i * size + place]!);
  const valuesOf = (place: number) =>
    scoresOf(place).map((score) => valueAt(coordinates[place]!.prior, score));
  const vigours = coordinates.flatMap(({ name }, index) => (name.startsWith('vigour:') ? [index] : []));
  const vigoursThere = vigours.map(valuesOf);
  const straight = scores.slice();
  const leanings = ridgesOf(coordinates, problem).flatMap(({ from, ...ridge }): Leaning[] => {
    const group = { growths: valuesOf(ridge.growth), wakes: valuesOf(ridge.wake), vigours: vigoursThere };
    const best = likeliestLine(group, scoresOf(ridge.size), weights, from, problem.today);
    if (!best || best.slope === 0) return [];
    const { day, grown, slope } = best;
    for (let i = 0, at = ridge.size; i < grown.length; i++, at += size)
      straight[at] = straight[at]! - slope * grown[i]!;
    const lively = vigours.flatMap((vigour, spell) => {
      const days = daysIn(spell, from, day);
      return days > 0 ? [{ vigour, days }] : [];
    });
    return [{ ...ridge, lively, slope }];
  });
  return { leanings, straight };
}

/** What the growth of a group of bacteria depends on, one number a particle; vigours by spells. */
interface Group {
  readonly growths: Float64Array;
  readonly wakes: Float64Array;
  readonly vigours: readonly Float64Array[];
}

/** The line of sizes on the growth until a day, of the day that leaves least. */
function likeliestLine(
  { growths, wakes, vigours }: Group,
  sizes: Float64Array,
  weights: Float64Array,
  from: number,
  today: number,
) {
  let best: { day: number; grown: Float64Array; slope: number; left: number } | undefined;
  const lively = new Float64Array(sizes.length);
  for (let day = dayStep; day <= today; day += dayStep) {
    addLively(lively, vigours, Math.max(from, day - dayStep), day);
    const grown = growths.map((growth, i) => growth * Math.max(0, lively[i]! - wakes[i]!));
    const line = lineThrough(grown, sizes, weights);
    if (!best || line.left < best.left) best = { day, grown, ...line };
  }
  return best;
}

/** Adds the days from one to another to each particle's, weighed by how lively they were. */
function addLively(
  lively: Float64Array,
  vigours: readonly Float64Array[],
  from: number,
  until: number,
): void {
  for (let spell = 0; spell < vigours.length; spell++) {
    const days = daysIn(spell, from, until);
    if (days === 0) continue;
    const vigour = vigours[spell]!;
    for (let i = 0; i < lively.length; i++) lively[i] = lively[i]! + days * vigour[i]!;
  }
}

/** Days of a spell that lie between two days. */
const daysIn = (spell: number, from: number, until: number): number =>
  Math.max(0, Math.min(until, (spell + 1) * spellDays) - Math.max(from, spell * spellDays));

/** Weighted least squares of one number on another: the slope, and the variance left. */
function lineThrough(xs: Float64Array, ys: Float64Array, weights: Float64Array) {
  let [meanX, meanY, xx, xy, yy] = [0, 0, 0, 0, 0];
  for (let i = 0; i < weights.length; i++) {
    const [x, y, weight] = [xs[i]!, ys[i]!, weights[i]!];
    meanX += weight * x;
    meanY += weight * y;
    xx += weight * x * x;
    xy += weight * x * y;
    yy += weight * y * y;
  }
  const varianceX = xx - meanX * meanX;
  const covariance = xy - meanX * meanY;
  const slope = varianceX > 1e-9 ? covariance / varianceX : 0;
  return { slope, left: yy - meanY * meanY - slope * covariance };
}
