import { exp, type Prior, type Stop, stateIndex, stateWidth } from '@brinewright/nitrogen';
import { lanes, startOf } from '../numbers/fours.ts';
import type { Eyes, Levels } from '../observe/reading.ts';
import { commonEyes, levelNames, type Occasion } from '../observe/shape.ts';
import type { Observation, Problem } from '../problem.ts';
import type { Coordinate } from './coordinates.ts';

/** The readings of a problem: the stops at which water has to be looked at, and what came of looking. */
export interface Watch {
  /** All readings, those of an occasion together. */
  readonly order: readonly Observation[];
  readonly occasions: readonly Occasion[];
  /** Outputs before and after the deeds of their instant. */
  readonly before: readonly Stop[];
  readonly after: readonly Stop[];
  /** Output rows there are. */
  readonly rows: number;
  /** Rows in which a reading may have been taken. */
  readonly rowsOf: ReadonlyMap<Observation, readonly number[]>;
}

/** Groups readings by instant and gives each the rows before and after that instant's deeds. */
export function watchOf(problem: Problem): Watch {
  const deedDays = new Set(problem.deeds.filter((deed) => deed.kind !== 'load').map((deed) => deed.day));
  const byDay = new Map<number, Observation[]>();
  for (const observation of problem.observations)
    byDay.set(observation.day, [...(byDay.get(observation.day) ?? []), observation]);
  const order: Observation[] = [];
  const occasions: Occasion[] = [];
  const before: Stop[] = [];
  const after: Stop[] = [];
  const rowsOf = new Map<Observation, readonly number[]>();
  let rows = 0;
  for (const [day, observations] of [...byDay].sort(([a], [b]) => a - b)) {
    const first = rows++;
    before.push({ day, kind: 'output', slot: first });
    const last = deedDays.has(day) ? rows++ : first;
    if (last !== first) after.push({ day, kind: 'output', slot: last });
    order.push(...observations);
    occasions.push({ day, end: order.length, before: first, after: last });
    for (const one of observations) rowsOf.set(one, first === last ? [first] : [first, last]);
  }
  return { order, occasions, before, after, rows, rowsOf };
}

const { ammonia, nitrite, nitrate, alkalinity } = stateIndex;

/**
 * Copies the levels of rows of states, shape (rows, stateWidth), into a particle's water, in the order of `levelNames`, up to the
 * last row but one.
 */
export function keepWater(
  states: Float64Array,
  first: number,
  end: number,
  waters: Float32Array,
  start: number,
): void {
  const step = lanes * levelNames.length;
  let at = start + step * first;
  for (let row = stateWidth * first; row < stateWidth * end; row += stateWidth, at += step) {
    waters[at] = states[row + ammonia]!;
    waters[at + lanes] = states[row + nitrite]!;
    waters[at + 2 * lanes] = states[row + nitrate]!;
    waters[at + 3 * lanes] = states[row + alkalinity]!;
  }
}

/** The levels in a row of states. */
export function levelsAt(states: Float64Array, row: number): Levels {
  const from = row * stateWidth;
  return {
    ammonia: states[from + ammonia]!,
    nitrite: states[from + nitrite]!,
    nitrate: states[from + nitrate]!,
    alkalinity: states[from + alkalinity]!,
  };
}

/** The unknowns of kits and their reader: where they stand among the coordinates, and what they come to. */
export interface Reader {
  /** Places of the coordinates that readings depend on and the water does not, in the order of a row of eyes. */
  readonly places: readonly number[];
  /** What a particle's values suppose of an instrument; null for one the tank has not used. */
  eyes(values: Float64Array, instrument: number | null): Eyes;
  /** What their scores come to in a row of eyes: the unknown itself, or the factor an instrument multiplies by. */
  readonly priors: readonly Prior[];
  /** Writes what a particle's values come to into its row of eyes. */
  fill(values: Float64Array, eyes: Float32Array, particle: number): void;
}

export function readerOf(
  problem: Problem,
  coordinates: readonly Coordinate[],
  at: (name: string) => number,
): Reader {
  const common = commonEyes.map((name) => at(name));
  const biases = problem.instruments.map((_, index) => at(`bias:${index}`));
  const places = [...common, ...biases];
  /** The bias of a kit is the logarithm of what it multiplies by. */
  const priors = places.map((place, index): Prior => {
    const { prior } = coordinates[place]!;
    return index < common.length ? prior : { ...prior, shape: 'lognormal' };
  });
  return {
    places,
    priors,
    eyes(values, instrument) {
      const [blur, tint, cross] = common.map((place) => values[place]!);
      const bias = instrument === null ? 1 : exp(values[biases[instrument]!]!);
      return { blur: blur!, tint: tint!, cross: cross!, bias };
    },
    fill(values, eyes, particle) {
      let at = startOf(particle, places.length);
      for (let index = 0; index < places.length; index++, at += lanes)
        eyes[at] = index < common.length ? values[places[index]!]! : exp(values[places[index]!]!);
    },
  };
}
