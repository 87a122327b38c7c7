import {
  type BiologyName,
  biologyIndex,
  compilePlan,
  type Plan,
  quickSettings,
  type RunSettings,
  reportIndex,
  type Stop,
  stateIndex,
  stateWidth,
} from '@brinewright/nitrogen';
import { type Eyes, type Levels, readied } from '../observe/reading.ts';
import { copyParticle, lanes, startOf, type Weigher, waterWidth } from '../observe/shape.ts';
import { openWeigher } from '../observe/weigher.ts';
import type { Deed, Problem } from '../problem.ts';
import { blockSize, openBlock } from './block.ts';
import { type Coordinate, coordinatesOf, finder, spellDays, spellsUntil, valuesAt } from './coordinates.ts';
import { keepWater, levelsAt, type Reader, readerOf, watchOf } from './watch.ts';

/**
 * A problem made ready: everything that does not depend on the particle is done once, and blocks of particles are
 * turned from scores into likelihoods or trajectories. Buffers belong to the model and are reused: not to be shared
 * between workers. What comes out for a particle does not depend on the others of its block.
 */
export interface Model {
  readonly problem: Problem;
  readonly coordinates: readonly Coordinate[];
  readonly outputDays: Float64Array;
  /**
   * Log likelihoods of all readings, −Infinity where impossible. `scores`: shape (count, coordinates), up to
   * `blockSize` particles; `out`: at least count numbers.
   */
  logLikelihoods(scores: Float64Array, count: number, out: Float64Array): void;
  /** Copies what the last weighed particle of that number saw, water and eyes, into a place of another room. */
  keep(particle: number, room: Weigher, place: number): void;
  /** Room to weigh many particles' readings in, without running their water again. */
  openRoom(capacity: number): Weigher;
  /** Who looked. */
  readonly reader: Reader;
  /** Log likelihood of one particle. */
  logLikelihood(scores: Float64Array): number;
  /** Runs the water of up to `blockSize` particles through; `show` then says which is spoken of. */
  run(scores: Float64Array, count: number): void;
  /**
   * Makes a particle of the last run the shown one; false, and nothing changes, where its bacteria could never clear
   * the water or its run failed.
   */
  show(particle: number): boolean;
  /** Runs and shows one particle. */
  follow(scores: Float64Array): boolean;
  /** The shown particle's states at the outputs, shape (outputs, stateWidth). */
  readonly states: Float64Array;
  /** How the shown particle's run went. */
  readonly report: { readonly readyDay: number };
  /** Output rows in which a reading may have been taken: one, or before and after the deeds of its instant. */
  rowsOf(observation: number): readonly number[];
  /** What the shown particle supposes of an instrument and its reader; null for an instrument the tank has not used. */
  eyes(instrument: number | null): Eyes;
  /** The shown particle's water in an output row. */
  levels(row: number): Levels;
  /** Values of the shown particle, in coordinate units. */
  readonly values: Float64Array;
  /** Runs of the water since the model was made, and derivative evaluations in them. */
  solves(): number;
  evaluations(): number;
}

/** Culture added without a stated strength, as a share of the inferred culture, by what it was. */
const cultureName = { bottled: 'culture', unknown: 'culture', mature: 'media' } as const;

/** A tank whose bacteria could not live on what is left at this level (mg N/L) would never read zero: not believed. */
const mostResidual = 0.1;

type Fill = (values: Float64Array, amounts: Float64Array) => void;

/** Stops of the deeds and how each particle fills in their amounts. */
function deedStops(deeds: readonly Deed[], at: (name: string) => number, firstSlot: number) {
  const stops: Stop[] = [];
  const fills: Fill[] = [];
  let slot = firstSlot;
  const volume = at('volume');
  for (const deed of deeds) {
    const here = slot;
    if (deed.kind === 'load') continue;
    stops.push({ day: deed.day, kind: deed.kind, slot: here });
    switch (deed.kind) {
      case 'culture': {
        const capacity = at(cultureName[deed.source]);
        const ratio = at(`${cultureName[deed.source]}Ratio`);
        fills.push((values, amounts) => {
          amounts[here] = values[capacity]!;
          amounts[here + 1] = values[capacity]! * values[ratio]!;
        });
        slot += 2;
        break;
      }
      case 'exchange': {
        const fraction = deed.fraction === null ? at('exchange') : -1;
        fills.push((values, amounts) => {
          amounts[here] = deed.fraction ?? values[fraction]!;
          amounts[here + 1] = deed.nitrate;
          amounts[here + 2] = deed.alkalinity;
        });
        slot += 3;
        break;
      }
      default: {
        const { size } = deed;
        const scale = deed.kind === 'ammonia' && size.form === 'known' ? at('dose') : -1;
        const source = size.form === 'units' ? at(`source:${size.source}`) : -1;
        fills.push((values, amounts) => {
          const nominal =
            size.form === 'known'
              ? size.amount * (scale < 0 ? 1 : values[scale]!)
              : size.units * values[source]!;
          amounts[here] = nominal / values[volume]!;
        });
        slot += 1;
      }
    }
  }
  return { stops, fills, slot };
}

/** Stops where the spell, or the animals' load, changes. */
function spellStops(problem: Problem, at: (name: string) => number, until: number, firstSlot: number) {
  const loads = problem.deeds.filter((deed) => deed.kind === 'load');
  const scale = loads.length > 0 ? at('load') : -1;
  const unsized = problem.unsizedAnimals ? at('animals') : -1;
  const hidden = at('hidden');
  const volume = at('volume');
  const days = new Set([
    ...Array.from({ length: spellsUntil(until) }, (_, spell) => spell * spellDays),
    ...loads.map((deed) => deed.day),
  ]);
  const stops: Stop[] = [];
  const fills: Fill[] = [];
  let slot = firstSlot;
  for (const day of [...days].sort((a, b) => a - b)) {
    const here = slot;
    const spell = spellsUntil(day) - 1;
    const vigour = at(`vigour:${spell}`);
    const unexplained = at(`hidden:${spell}`);
    const sized = loads.reduce((load, deed) => (deed.day <= day ? deed.perDay : load), 0);
    stops.push({ day, kind: 'vigour', slot: here }, { day, kind: 'load', slot: here + 1 });
    fills.push((values, amounts) => {
      const animals = (scale < 0 ? 0 : sized * values[scale]!) + (unsized < 0 ? 0 : values[unsized]!);
      amounts[here] = values[vigour]!;
      amounts[here + 1] = values[hidden]! * values[unexplained]! + animals / values[volume]!;
    });
    slot += 2;
  }
  return { stops, fills, slot };
}

/** Surroundings change where a day differs from the one before. */
function segmentStops(problem: Problem, until: number): Stop[] {
  return problem.surroundings.flatMap((surroundings, day) => {
    const previous = problem.surroundings[day - 1];
    const same =
      previous !== undefined &&
      previous.temperatureC === surroundings.temperatureC &&
      previous.pH === surroundings.pH &&
      previous.oxygenMgL === surroundings.oxygenMgL;
    return same || day > until ? [] : [{ day, kind: 'segment', slot: day } as const];
  });
}

/**
 * Makes a problem ready to be followed up to a day.
 * `outputDays`: further days at which the state is wanted, ascending; their rows come after those of the readings.
 */
export function prepare(
  problem: Problem,
  {
    until = problem.today,
    outputDays = [] as readonly number[],
    settings = quickSettings as RunSettings,
  } = {},
): Model {
  const coordinates = coordinatesOf(problem, until);
  const at = finder(coordinates);
  const deeds = [...problem.deeds].sort((a, b) => a.day - b.day);
  const acted = deedStops(deeds, at, 0);
  const spelled = spellStops(problem, at, until, acted.slot);
  const watched = watchOf(problem);
  const wanted = outputDays.map((day, index): Stop => ({ day, kind: 'output', slot: watched.rows + index }));
  const stops = [
    ...segmentStops(problem, until),
    ...spelled.stops,
    ...watched.before,
    ...acted.stops,
    ...watched.after,
    ...wanted,
  ]
    .filter((stop) => stop.day <= until)
    .sort((a, b) => a.day - b.day);
  const plan: Plan = compilePlan(stops, problem.surroundings);

  const size = coordinates.length;
  const block = openBlock(plan, spelled.slot + 1, size, settings);
  const fills = [...acted.fills, ...spelled.fills];
  const fillBiology = biologyFiller(coordinates);
  const fillStart = startFiller(at);
  const reader = readerOf(problem, coordinates, at);
  let shown = { values: block.values(0), row: block.row(0) };
  let solves = 0;
  let evaluations = 0;

  const runBlock = (scores: Float64Array, count: number): void => {
    let runs = 0;
    for (let particle = 0; particle < count; particle++) {
      const values = block.values(particle);
      valuesAt(coordinates, scores.subarray(particle * size, (particle + 1) * size), values);
      const row = block.row(runs);
      fillBiology(values, row.biology);
      const possible = canClear(row.biology);
      block.seat(particle, possible ? runs : null);
      if (!possible) continue;
      fillStart(values, row.start);
      for (const fill of fills) fill(values, row.amounts);
      runs++;
    }
    evaluations += block.run(runs);
    solves += runs;
  };
  const show = (particle: number): boolean => {
    const row = block.finished(particle);
    if (row) shown = { values: block.values(particle), row };
    return row !== null;
  };
  const openRoom = (capacity: number): Weigher =>
    openWeigher({
      readings: watched.order.map((one) => readied(one, problem.instruments[one.instrument]!)),
      occasions: watched.occasions,
      rows: watched.rows,
      instruments: problem.instruments.length,
      capacity,
    });
  // A model that is only followed weighs nothing.
  let opened: Weigher | undefined;
  const blockRoom = (): Weigher => {
    opened ??= openRoom(blockSize);
    return opened;
  };
  const waterLength = waterWidth(watched);
  const eyeLength = reader.places.length;
  const logLikelihoods = (scores: Float64Array, count: number, out: Float64Array): void => {
    const room = blockRoom();
    runBlock(scores, count);
    for (let particle = 0; particle < count; particle++) {
      const row = block.finished(particle);
      if (row) keepWater(row.states, watched.rows, room.waters, startOf(particle, waterLength));
      const eyes = startOf(particle, eyeLength);
      for (let index = 0; index < eyeLength; index++)
        room.eyes[eyes + lanes * index] = reader.seenBy(
          index,
          scores[particle * size + reader.places[index]!]!,
        );
    }
    room.weigh(0, count);
    for (let particle = 0; particle < count; particle++)
      out[particle] = block.finished(particle) ? room.logLikelihoods[particle]! : -Infinity;
  };
  const one = new Float64Array(1);
  return {
    problem,
    coordinates,
    outputDays: Float64Array.from(outputDays),
    logLikelihoods,
    keep(particle, other, place) {
      const room = blockRoom();
      copyParticle(room.waters, particle, other.waters, place, waterLength);
      copyParticle(room.eyes, particle, other.eyes, place, eyeLength);
    },
    openRoom,
    reader,
    logLikelihood(scores) {
      logLikelihoods(scores, 1, one);
      return one[0]!;
    },
    run: runBlock,
    show,
    follow(scores) {
      runBlock(scores, 1);
      return show(0);
    },
    get states() {
      return shown.row.states;
    },
    get report() {
      return { readyDay: shown.row.report[reportIndex.readyDay]! };
    },
    get values() {
      return shown.values;
    },
    rowsOf: (observation) => watched.rowsOf.get(problem.observations[observation]!) ?? [],
    eyes: (instrument) => reader.eyes(shown.values, instrument),
    levels: (row) => levelsAt(shown.row.states, row),
    solves: () => solves,
    evaluations: () => evaluations,
  };
}

/** Row of the first of the wanted output days. */
export const firstWantedRow = (model: Model): number =>
  model.states.length / stateWidth - model.outputDays.length;

function biologyFiller(
  coordinates: readonly Coordinate[],
): (values: Float64Array, biology: Float64Array) => void {
  const pairs = coordinates.flatMap(({ name }, from) =>
    name in biologyIndex ? [[from, biologyIndex[name as BiologyName]] as const] : [],
  );
  return (values, biology) => {
    for (const [from, to] of pairs) biology[to] = values[from]!;
    biology[biologyIndex.ceilingN] = 1.2 * biology[biologyIndex.ceilingA]!;
  };
}

function startFiller(at: (name: string) => number): (values: Float64Array, start: Float64Array) => void {
  const inoculum = at('inoculum');
  const ratio = at('ratio');
  const levels = (['ammonia', 'nitrite', 'nitrate', 'alkalinity'] as const).map(
    (name) => [at(`${name}0`), stateIndex[name]] as const,
  );
  const organic = at('organic0');
  return (values, start) => {
    start.fill(0);
    for (const [from, to] of levels) start[to] = Math.max(0, values[from]!);
    start[stateIndex.food] = values[organic]!;
    start[stateIndex.capacityA] = values[inoculum]!;
    start[stateIndex.capacityN] = values[inoculum]! * values[ratio]!;
    start[stateIndex.put] =
      start[stateIndex.ammonia]! + start[stateIndex.nitrite]! + start[stateIndex.nitrate]! + values[organic]!;
  };
}

/** Whether bacteria like these can bring the water below the least a settled tank must reach. */
function canClear(biology: Float64Array): boolean {
  const residual = (half: number, loss: number, growth: number): number => (half * loss) / (growth - loss);
  const { halfA, lossA, growthA, halfN, lossN, growthN } = biologyIndex;
  const a = residual(biology[halfA]!, biology[lossA]!, biology[growthA]!);
  const n = residual(biology[halfN]!, biology[lossN]!, biology[growthN]!);
  return a >= 0 && a <= mostResidual && n >= 0 && n <= mostResidual;
}
