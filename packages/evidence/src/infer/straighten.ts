import { exp, valueAt } from '@brinewright/nitrogen';
import { type Coordinate, spellDays } from '../model/coordinates.ts';
import type { Model } from '../model/model.ts';
import type { Problem } from '../problem.ts';
import type { Leaning, Ridge } from './shear.ts';

/** Days between those tried: half a spell, so that none reaches over a change of vigour. */
const dayStep = spellDays / 2;
/** Levels of food tried, mg N/L: first the one that is usual in a dosed tank. */
const levelsOfFood = [2, 0.5, 8];

/** Bacteria that came on a day, and the coordinate of the vigour in each spell. */
interface Arrival extends Ridge {
  readonly came: number;
  readonly vigours: readonly number[];
}

function arrivalsOf(coordinates: readonly Coordinate[], problem: Problem): Arrival[] {
  const places = new Map(coordinates.map(({ name }, index) => [name, index]));
  const at = (name: string): number => places.get(name)!;
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
  return groups.flatMap(([name, group, came]) => {
    const [growth, half, wake] = [at(`growth${group}`), at(`half${group}`), at(`wake${group}`)];
    return places.has(name) ? [{ size: at(name), growth, half, wake, came, vigours }] : [];
  });
}

/** Particles of these weights straightened by the leanings that leave least of their inocula's spread. */
export function straightened(
  { coordinates, problem }: Model,
  scores: Float64Array,
  weights: Float64Array,
): { leanings: Leaning[]; straight: Float64Array } {
  const width = coordinates.length;
  const straight = scores.slice();
  const table = new Map<number, Float64Array>();
  const valuesOf = (place: number): Float64Array => {
    const { prior } = coordinates[place]!;
    const values = table.get(place) ?? weights.map((_, i) => valueAt(prior, scores[i * width + place]!));
    table.set(place, values);
    return values;
  };
  const leanings = arrivalsOf(coordinates, problem).flatMap((arrival): Leaning[] => {
    const sizes = weights.map((_, i) => scores[i * width + arrival.size]!);
    const { slope, grown, ...course } = likeliestCourse(arrival, valuesOf, sizes, weights, problem.today);
    if (slope === 0) return [];
    for (let i = 0, at = arrival.size; i < grown.length; i++, at += width)
      straight[at] = straight[at]! - slope * grown[i]!;
    return [leaningOf(arrival, slope, course)];
  });
  return { leanings, straight };
}

/** Between which days bacteria grew, and on what level of food. */
interface Course {
  readonly from: number;
  readonly until: number;
  readonly fed: number;
}

function leaningOf(
  { came, vigours, size, growth, half, wake }: Arrival,
  slope: number,
  { from, until, fed }: Course,
): Leaning {
  const lively = vigours.flatMap((vigour, spell) => {
    const days = Math.min(until, (spell + 1) * spellDays) - Math.max(from, spell * spellDays);
    return days > 0 ? [{ vigour, days }] : [];
  });
  return { size, growth, half, wake, slope, fed, after: from - came, lively };
}

/** The line of sizes on the growth of a course; its days by their places among those tried. */
interface Line extends Course {
  readonly slope: number;
  /** Growth of each particle. */
  readonly grown: Float64Array;
  /** Variance of the sizes about the line. */
  readonly left: number;
}

/**
 * The course, in days, whose line leaves least: first the day is found until which growth counts, then the one from which
 * on, then the level of food.
 */
function likeliestCourse(
  arrival: Arrival,
  valuesOf: (place: number) => Float64Array,
  sizes: Float64Array,
  weights: Float64Array,
  today: number,
): Line {
  const { came } = arrival;
  const [growths, halves] = [valuesOf(arrival.growth), valuesOf(arrival.half)];
  const days = daysTried(came, today);
  const awake = awakeDays(arrival, valuesOf, days);
  const lineOf = (from: number, until: number, fed: number): Line => {
    const [before, after] = [awake[from]!, awake[until]!];
    const grown = growths.map((growth, i) => (growth * fed * (after[i]! - before[i]!)) / (fed + halves[i]!));
    return { from, until, fed, grown, ...lineThrough(grown, sizes, weights) };
  };
  const [usual] = levelsOfFood as [number, ...number[]];
  let best = lineOf(0, 0, usual);
  const tryLine = (line: Line): void => {
    if (line.left < best.left) best = line;
  };
  for (let until = 1; until < days.length; until++) tryLine(lineOf(0, until, usual));
  for (let from = 1; from < best.until; from++) tryLine(lineOf(from, best.until, usual));
  for (const fed of levelsOfFood.slice(1)) tryLine(lineOf(best.from, best.until, fed));
  return { ...best, from: days[best.from]!, until: days[best.until]! };
}

/** Days tried of bacteria that came on a day: that one, and each half spell after it. */
function daysTried(came: number, today: number): number[] {
  const first = Math.floor(came / dayStep) + 1;
  const more = Math.max(0, Math.floor(today / dayStep) - first + 1);
  return [came, ...Array.from({ length: more }, (_, i) => (first + i) * dayStep)];
}

/** Each particle's days awake from when the bacteria came until each of those days, weighed by how lively they were. */
function awakeDays(
  { wake, vigours }: Arrival,
  valuesOf: (place: number) => Float64Array,
  days: readonly number[],
): Float64Array[] {
  const wakes = valuesOf(wake);
  const asleep = wakes.map(() => 1);
  let lived = wakes.map(() => 0);
  const found = [lived];
  for (let step = 1; step < days.length; step++) {
    const long = days[step]! - days[step - 1]!;
    const lively = valuesOf(vigours[Math.floor(days[step - 1]! / spellDays)]!);
    lived = lived.map((before, i) => {
      const later = asleep[i]! * exp(-long / wakes[i]!);
      const awake = long - wakes[i]! * (asleep[i]! - later);
      asleep[i] = later;
      return before + lively[i]! * awake;
    });
    found.push(lived);
  }
  return found;
}

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
