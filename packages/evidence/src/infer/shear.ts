import { valueAt } from '@brinewright/nitrogen';
import { spellDays } from '../model/coordinates.ts';
import type { Model } from '../model/model.ts';

/**
 * How many bacteria there were at first hardly shows; how many there are on the day they become noticed does, and that is
 * the first number times an exponential of growth and liveliness until then. Readings so draw the particles out along a
 * bent ridge, which no cloud of an ellipse's shape fits. A shear straightens it: the score of an inoculum less a multiple
 * of the growth until a chosen day. It moves no volume, so that densities stay as they are.
 */
export interface Shear {
  /** Straightens a particle's scores, in place. */
  straighten(scores: Float64Array): void;
  /** Undoes it, in place. */
  bend(scores: Float64Array): void;
}

/** A group of bacteria brought in: the coordinate of its size and those of its growth. */
interface Ridge {
  readonly size: number;
  /** Growth until the day, from a particle's scores. */
  growthUntil(day: number, scores: Float64Array): number;
}

interface Leaning {
  readonly ridge: Ridge;
  readonly day: number;
  readonly slope: number;
}

/** Days between those tried. */
const dayStep = 3;

function ridgesOf(model: Model): Ridge[] {
  const { coordinates, problem } = model;
  const places = new Map(coordinates.map(({ name }, index) => [name, index]));
  const vigours = coordinates.flatMap(({ name }, index) => (name.startsWith('vigour:') ? [index] : []));
  const firstCulture = problem.deeds.find(({ kind }) => kind === 'culture')?.day ?? 0;
  const groups = [
    ['inoculum', 'A', 0],
    ['ratio', 'N', 0],
    ['culture', 'A', firstCulture],
    ['cultureRatio', 'N', firstCulture],
    ['media', 'A', firstCulture],
    ['mediaRatio', 'N', firstCulture],
  ] as const;
  const value = (place: number, scores: Float64Array): number =>
    valueAt(coordinates[place]!.prior, scores[place]!);
  return groups.flatMap(([name, group, from]): Ridge[] => {
    const size = places.get(name);
    if (size === undefined) return [];
    const growth = places.get(`growth${group}`)!;
    const wake = places.get(`wake${group}`)!;
    return [
      {
        size,
        growthUntil(day, scores) {
          let lively = 0;
          for (let spell = 0; spell < vigours.length; spell++) {
            const began = Math.max(from, spell * spellDays);
            const ended = Math.min(day, (spell + 1) * spellDays);
            if (ended > began) lively += (ended - began) * value(vigours[spell]!, scores);
          }
          return value(growth, scores) * Math.max(0, lively - value(wake, scores));
        },
      },
    ];
  });
}

/** The shear that leaves least of the inocula's spread, for particles of these weights. */
export function shearOf(model: Model, scores: Float64Array, weights: Float64Array): Shear {
  const size = model.coordinates.length;
  const rows = Array.from(weights, (_, i) => scores.subarray(i * size, (i + 1) * size));
  const leanings = ridgesOf(model).map((ridge): Leaning => {
    let best: Leaning & { left: number } = { ridge, day: 0, slope: 0, left: Infinity };
    for (let day = dayStep; day <= model.problem.today; day += dayStep) {
      const line = lineThrough(rows, weights, ridge, day);
      if (line.left < best.left) best = { ridge, day, ...line };
    }
    return best;
  });
  const lean = (row: Float64Array, sign: number): void => {
    for (const { ridge, day, slope } of leanings)
      if (slope !== 0) row[ridge.size] = row[ridge.size]! + sign * slope * ridge.growthUntil(day, row);
  };
  return { straighten: (row) => lean(row, -1), bend: (row) => lean(row, 1) };
}

/** Weighted least squares of an inoculum's score on growth until a day: the slope, and the variance left. */
function lineThrough(rows: readonly Float64Array[], weights: Float64Array, ridge: Ridge, day: number) {
  let [meanX, meanY, xx, xy, yy] = [0, 0, 0, 0, 0];
  for (const [i, row] of rows.entries()) {
    const weight = weights[i]!;
    if (weight === 0) continue;
    const x = ridge.growthUntil(day, row);
    const y = row[ridge.size]!;
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
