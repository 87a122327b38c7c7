import { blockSize } from '../model/block.ts';
import type { Model } from '../model/model.ts';
import { copyParticle, lanes } from '../numbers/fours.ts';
import { type Random, stream } from '../numbers/random.ts';
import type { Weigher } from '../observe/shape.ts';
import { carrierOf } from './carrier.ts';
import { openMover } from './move/mover.ts';
import type { Mover } from './move/shape.ts';
import type { FitSettings, Onward, Posterior, Progress } from './posterior.ts';

/** Particles in the middle of a fit; changed in place. */
export interface Particles {
  readonly count: number;
  readonly size: number;
  /** Shape (count, size). */
  readonly scores: Float64Array;
  readonly logLikelihoods: Float64Array;
  /** What each particle's readings were taken in and by whom, so that another reader can be tried without a run. */
  readonly room: Weigher;
  readonly mover: Mover;
  readonly seed: number;
  /** Names the streams of the next sweep. */
  round: number;
  /** Share of the cloud's axes drawn afresh in one move; follows how many moves are taken. */
  share: number;
}

/** Share of axes drawn afresh in the first moves of a fit, still much like the prior. */
const shareAtFirst = 1;
/** Draws from the prior before a particle may be one whose bacteria could never clear the water. */
const priorTries = 50;
/** Keys of the streams that draw from the prior. */
const priorKey = 3_000_000;
const carryKey = 4_000_000;

/** Particles drawn from the prior. */
export function* drawPrior(model: Model, settings: FitSettings): Generator<Progress, Particles> {
  const particles = openParticles(model, settings, { round: 0, share: shareAtFirst });
  const { count, size, scores, logLikelihoods, room } = particles;
  for (let from = 0; from < count; from += blockSize) {
    yield { fraction: (0.05 * from) / count, said: 'drawing from what is usual' };
    const here = scores.subarray(from * size, Math.min(count, from + blockSize) * size);
    drawBlock(
      model,
      here,
      logLikelihoods.subarray(from, from + blockSize),
      (i) => stream(settings.seed, priorKey, from + i),
      (i, place) => model.keep(i, room, from + place),
    );
  }
  return particles;
}

/** Room for the particles of a fit. */
export function openParticles(
  model: Model,
  { seed, particles: count }: FitSettings,
  { round, share }: Pick<Onward, 'round' | 'share'>,
): Particles {
  const size = model.coordinates.length;
  return {
    count,
    size,
    scores: new Float64Array(count * size),
    logLikelihoods: new Float64Array(count),
    room: model.openRoom(count),
    mover: openMover({ priors: model.coordinates.map(({ prior }) => prior), capacity: blockSize }),
    seed,
    round,
    share,
  };
}

/** Draws a block of particles from the prior, again where the draw is impossible. */
function drawBlock(
  model: Model,
  scores: Float64Array,
  logLikelihoods: Float64Array,
  streamOf: (particle: number) => Random,
  keep: (drawn: number, particle: number) => void,
): void {
  const size = model.coordinates.length;
  const streams = Array.from({ length: scores.length / size }, (_, i) => streamOf(i));
  const drawn = new Float64Array(scores.length);
  const found = new Float64Array(streams.length);
  let open = [...streams.keys()];
  for (let attempt = 0; attempt < priorTries && open.length > 0; attempt++) {
    for (const [place, i] of open.entries())
      for (let j = 0; j < size; j++) drawn[place * size + j] = streams[i]!.normal();
    model.logLikelihoods(drawn, open.length, found);
    for (const [place, i] of open.entries()) {
      scores.set(drawn.subarray(place * size, (place + 1) * size), i * size);
      keep(place, i);
      logLikelihoods[i] = found[place]!;
    }
    open = open.filter((_, place) => found[place] === -Infinity);
  }
}

/** Particles of an earlier fit as particles of another problem, by the names of coordinates; new ones are drawn from the prior. */
export function* carried(previous: Posterior, model: Model): Generator<Progress, Particles> {
  const { settings, onward } = previous;
  const carryOver = carrierOf(previous, model.coordinates);
  const particles = openParticles(model, settings, onward);
  const { count, size, scores, logLikelihoods, room } = particles;
  for (let start = 0; start < count; start += blockSize) {
    yield { fraction: (0.4 * start) / count, said: 'taking the reading in' };
    const block = Math.min(blockSize, count - start);
    for (let particle = start; particle < start + block; particle++) {
      const random = stream(settings.seed, carryKey, onward.round, particle);
      carryOver(particle, random, scores, particle * size);
    }
    const here = scores.subarray(start * size, (start + block) * size);
    model.logLikelihoods(here, block, logLikelihoods.subarray(start, start + block));
    for (let i = 0; i < block; i++) model.keep(i, room, start + i);
  }
  return particles;
}

/** Some of a fit's particles, as plain data. */
export interface Portion {
  /** Shape (particles, coordinates). */
  readonly scores: Float64Array;
  readonly logLikelihoods: Float64Array;
  /** Their part of each of the room's tables. */
  readonly tables: readonly Float32Array[];
}

/** What the room keeps of particles. */
const tablesOf = ({ room }: Particles): Float32Array[] => [room.waters, room.eyes, room.seen];
const widthOf = ({ room }: Particles, table: Float32Array): number =>
  table.length / room.logLikelihoods.length;

/** Copies particles out, from a multiple of four on. */
export function portionOf(
  particles: Particles,
  { from, until }: { readonly from: number; readonly until: number },
): Portion {
  const { size, scores, logLikelihoods } = particles;
  const end = lanes * Math.ceil(until / lanes);
  return {
    scores: scores.slice(from * size, until * size),
    logLikelihoods: logLikelihoods.slice(from, until),
    tables: tablesOf(particles).map((table) => {
      const width = widthOf(particles, table);
      return table.slice(from * width, end * width);
    }),
  };
}

/** Puts a portion where it was copied from, here or in the particles of another thread. */
export function putPortion(particles: Particles, from: number, portion: Portion): void {
  particles.scores.set(portion.scores, from * particles.size);
  particles.logLikelihoods.set(portion.logLikelihoods, from);
  for (const [i, table] of tablesOf(particles).entries())
    table.set(portion.tables[i]!, from * widthOf(particles, table));
}

/** Takes the chosen particles, in place. */
export function choose(particles: Particles, from: Int32Array): void {
  const { size, scores, logLikelihoods } = particles;
  const [oldScores, oldLikelihoods] = [scores.slice(), logLikelihoods.slice()];
  const kept = tablesOf(particles).map((table) => ({
    table,
    old: table.slice(),
    width: widthOf(particles, table),
  }));
  for (const [i, source] of from.entries()) {
    if (source === i) continue;
    scores.set(oldScores.subarray(source * size, (source + 1) * size), i * size);
    logLikelihoods[i] = oldLikelihoods[source]!;
    for (const { table, old, width } of kept) copyParticle(old, source, table, i, width);
  }
}
