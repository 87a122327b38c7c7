import { blockSize } from '../model/block.ts';
import { type Model, prepare } from '../model/model.ts';
import { copyParticle } from '../numbers/fours.ts';
import { type Random, stream } from '../numbers/random.ts';
import type { Problem } from '../problem.ts';
import { remembered } from './diagnose.ts';
import { foldsOf } from './folds.ts';
import { openMover } from './move/mover.ts';
import type { Mover } from './move/shape.ts';
import { type Particles, sweep } from './moves.ts';
import { type FitSettings, type Posterior, type Progress, usualSettings } from './posterior.ts';
import { effectiveCount, normalise, resample } from './weights.ts';

/** Share of effective particles kept when the likelihood is let in a little further. */
const keptPerLevel = 0.5;

/** Particles are moved until they remember no more than this of where they were, or have been moved this often. */
interface Stir {
  readonly remembering: number;
  readonly mostSweeps: number;
}
const perLevel: Stir = { remembering: 0.3, mostSweeps: 12 };
const atLast: Stir = { remembering: 0.15, mostSweeps: 30 };
const perUpdate: Stir = { remembering: 0.6, mostSweeps: 4 };
/** An update whose weights leave fewer effective particles than this share starts over. */
const leastForUpdate = 0.1;
/**
 * So does one whose new readings are, each in the mean, less likely than this logarithm says: no particle foresaw them, all
 * take them for slips alike, and weights cannot tell.
 */
const leastForeseen = -4;
/** Share of axes drawn afresh in the first moves of a fit, still much like the prior, and of an update. */
const shareAtFirst = 1;
const shareOfUpdate = 0.3;
const mostLevels = 60;
/** Draws from the prior before a particle may be one whose bacteria could never clear the water. */
const priorTries = 50;
/** Rounds from which an update's streams are named, and keys of streams that are not moves'. */
const updateRound = 1_000_000;
const priorKey = 3_000_000;
const carryKey = 4_000_000;
const chooseKey = 5_000_000;

/**
 * Fits a problem from scratch by tempered sequential Monte Carlo: particles are carried from the prior to the
 * posterior through powers of the likelihood chosen to keep half of them effective (Del Moral, Doucet & Jasra 2006,
 * JRSS B 68:411), moved at each until they have forgotten most of where they were (moves.ts). Yields progress after every
 * block of particles; abandon the generator to cancel. Same problem and settings: the same bytes.
 */
export function* fit(problem: Problem, chosen: Partial<FitSettings> = {}): Generator<Progress, Posterior> {
  const settings = { ...usualSettings, ...chosen };
  const model = prepare(problem);
  const { particles, weights, ...annealed } = yield* anneal(model, settings);
  const { temperature, round, levels, logEvidence } = annealed;
  const moved = yield* spread(model, particles, weights, {
    temperature,
    stir: atLast,
    round,
    seed: settings.seed,
  });
  const warnings = temperature < 1 ? ['the fit did not come to its end: its bands may be too wide'] : [];
  return finish(model, settings, particles, logEvidence, { levels, moved, warnings });
}

/** Logarithm of the marginal likelihood of a problem's readings: how well its suppositions foretold them. */
export function* logEvidenceOf(
  problem: Problem,
  chosen: Partial<FitSettings> = {},
): Generator<Progress, number> {
  const { logEvidence } = yield* anneal(prepare(problem), { ...usualSettings, ...chosen });
  return logEvidence;
}

/** Carries particles from the prior to the whole likelihood; what is left is to take the last weights in. */
function* anneal(model: Model, settings: FitSettings) {
  const particles = yield* drawPrior(model, settings);
  const weights = new Float64Array(particles.count);
  let temperature = 0;
  let logEvidence = 0;
  let round = 0;
  for (let levels = 1; ; levels++) {
    const next = nextTemperature(particles.logLikelihoods, temperature, weights);
    logEvidence += reweigh(particles.logLikelihoods, next - temperature, weights);
    temperature = next;
    if (temperature === 1 || levels === mostLevels)
      return { particles, weights, temperature, logEvidence, levels, round };
    yield* spread(model, particles, weights, { temperature, stir: perLevel, round, seed: settings.seed });
    round += perLevel.mostSweeps;
  }
}

/**
 * Takes further readings in without starting over: particles are carried to the new problem by the names of their
 * coordinates (new ones drawn from the prior), weighted by the ratio of the two likelihoods, resampled and moved.
 * Falls back to a fresh fit where the new problem is too far from the old.
 */
export function* update(previous: Posterior, problem: Problem): Generator<Progress, Posterior> {
  const { settings } = previous;
  const model = prepare(problem);
  const carried = yield* carry(previous, model, settings);
  const logWeights = carried.logLikelihoods.map((value, i) => value - previous.logLikelihoods[i]!);
  const weights = new Float64Array(carried.count);
  const gain = normalise(logWeights, weights);
  const added = Math.max(0, problem.observations.length - previous.model.problem.observations.length);
  const unforeseen = gain === -Infinity || gain < leastForeseen * added;
  if (unforeseen || effectiveCount(weights) < leastForUpdate * carried.count)
    return yield* fit(problem, settings);
  const moved = yield* spread(model, carried, weights, {
    temperature: 1,
    stir: perUpdate,
    round: updateRound + problem.observations.length * perUpdate.mostSweeps,
    seed: settings.seed,
  });
  const logEvidence = previous.logEvidence + gain;
  return finish(model, settings, carried, logEvidence, { levels: 0, moved, warnings: [] });
}

interface Spread {
  readonly temperature: number;
  readonly stir: Stir;
  readonly round: number;
  readonly seed: number;
}

/** How the particles moved: the share of moves taken, and how much of where they were they still remember. */
interface Moved {
  readonly acceptance: number;
  readonly remembered: number;
}
const unmoved: Moved = { acceptance: 0, remembered: 1 };

/** Resamples weighted particles in place and moves them. */
function* spread(
  model: Model,
  particles: Particles,
  weights: Float64Array,
  { temperature, stir, round, seed }: Spread,
): Generator<Progress, Moved> {
  const chosen = resample(weights, stream(seed, chooseKey, round).uniform(), particles.count);
  const folds = foldsOf(model, particles.scores, weights, chosen);
  choose(particles, chosen);
  const began = particles.scores.slice();
  const fraction = 0.05 + 0.9 * Math.sqrt(temperature);
  let taken = 0;
  let moved = unmoved;
  for (let turn = 0; turn < stir.mostSweeps && moved.remembered > stir.remembering; turn++) {
    const steps = sweep(model, particles, { folds, temperature, seed, round: round + turn });
    let step = steps.next();
    for (; !step.done; step = steps.next()) yield { fraction, said: 'weighing the readings' };
    taken += step.value;
    moved = { acceptance: taken / (turn + 1), remembered: remembered(began, particles) };
  }
  return moved;
}

function* drawPrior(model: Model, settings: FitSettings): Generator<Progress, Particles> {
  const size = model.coordinates.length;
  const count = settings.particles;
  const scores = new Float64Array(count * size);
  const logLikelihoods = new Float64Array(count);
  const room = model.openRoom(count);
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
  return { count, size, scores, logLikelihoods, room, mover: moverOf(model), share: shareAtFirst };
}

const moverOf = ({ coordinates }: Model): Mover =>
  openMover({ priors: coordinates.map(({ prior }) => prior), capacity: blockSize });

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

/** Particles of an earlier fit as particles of a new problem. */
function* carry(previous: Posterior, model: Model, settings: FitSettings): Generator<Progress, Particles> {
  const old = new Map(previous.model.coordinates.map((coordinate, index) => [coordinate.name, index]));
  const oldSize = previous.model.coordinates.length;
  const size = model.coordinates.length;
  const count = previous.logLikelihoods.length;
  const from = model.coordinates.map((coordinate) => old.get(coordinate.name));
  const scores = new Float64Array(count * size);
  const logLikelihoods = new Float64Array(count);
  const room = model.openRoom(count);
  for (let start = 0; start < count; start += blockSize) {
    yield { fraction: (0.4 * start) / count, said: 'taking the reading in' };
    const block = Math.min(blockSize, count - start);
    for (let particle = start; particle < start + block; particle++) {
      const random = stream(settings.seed, carryKey, particle);
      for (const [i, place] of from.entries())
        scores[particle * size + i] =
          place === undefined ? random.normal() : previous.scores[particle * oldSize + place]!;
    }
    const here = scores.subarray(start * size, (start + block) * size);
    model.logLikelihoods(here, block, logLikelihoods.subarray(start, start + block));
    for (let i = 0; i < block; i++) model.keep(i, room, start + i);
  }
  return { count, size, scores, logLikelihoods, room, mover: moverOf(model), share: shareOfUpdate };
}

function reweigh(logLikelihoods: Float64Array, step: number, weights: Float64Array): number {
  return normalise(
    logLikelihoods.map((value) => step * value),
    weights,
  );
}

/** The largest next power of the likelihood that keeps enough particles effective, found by bisection. */
function nextTemperature(logLikelihoods: Float64Array, temperature: number, weights: Float64Array): number {
  const enough = (next: number): boolean => {
    reweigh(logLikelihoods, next - temperature, weights);
    return effectiveCount(weights) >= keptPerLevel * weights.length;
  };
  if (enough(1)) return 1;
  let low = temperature;
  let high = 1;
  for (let i = 0; i < 20; i++) {
    const middle = (low + high) / 2;
    if (enough(middle)) low = middle;
    else high = middle;
  }
  return low > temperature ? low : high;
}

/** Takes the chosen particles, in place. */
function choose({ size, scores, logLikelihoods, room }: Particles, from: Int32Array): void {
  const [oldScores, oldLikelihoods] = [scores.slice(), logLikelihoods.slice()];
  const places = room.logLikelihoods.length;
  const kept = [room.waters, room.eyes, room.seen].map((table) => ({ table, old: table.slice() }));
  for (const [i, source] of from.entries()) {
    if (source === i) continue;
    scores.set(oldScores.subarray(source * size, (source + 1) * size), i * size);
    logLikelihoods[i] = oldLikelihoods[source]!;
    for (const { table, old } of kept) copyParticle(old, source, table, i, table.length / places);
  }
}

function finish(
  model: Model,
  settings: FitSettings,
  { count, scores, logLikelihoods }: Particles,
  logEvidence: number,
  { levels, moved, warnings }: { levels: number; moved: Moved; warnings: readonly string[] },
): Posterior {
  const doubts = moved.acceptance < 0.05 ? ['few moves were taken: the particles may be too alike'] : [];
  return {
    model,
    settings,
    scores,
    logLikelihoods,
    logEvidence,
    diagnostics: {
      effectiveSamples: (count * (1 - moved.remembered)) / (1 + moved.remembered),
      acceptance: moved.acceptance,
      levels,
      solves: model.solves(),
      evaluations: model.evaluations(),
      warnings: [...warnings, ...doubts],
    },
  };
}
