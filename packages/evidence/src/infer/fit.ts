import { type Model, prepare } from '../model/model.ts';
import { stream } from '../numbers/random.ts';
import type { Problem } from '../problem.ts';
import { type Cloud, cloudOf } from './cloud.ts';
import { moveAll, type Particles, solvesPerPause } from './moves.ts';
import {
  type Diagnostics,
  type FitSettings,
  type Posterior,
  type Progress,
  usualSettings,
} from './posterior.ts';
import { effectiveCount, normalise, resample } from './weights.ts';

/** Share of effective draws kept when the likelihood is let in a little further. */
const keptPerLevel = 0.5;
const movesPerLevel = 2;
const lastMoves = 6;
const movesPerUpdate = 3;
/** An update whose weights leave fewer effective draws than this share starts over. */
const leastForUpdate = 0.05;
const mostLevels = 60;
/** Draws from the prior before a particle is allowed to be one whose bacteria could never clear the water. */
const priorTries = 50;

interface Tally {
  solves: number;
  round: number;
  stride: number;
}

/**
 * Fits a problem from scratch by tempered sequential Monte Carlo: draws from the prior are carried to the posterior
 * through powers of the likelihood chosen to keep half of them effective (Del Moral, Doucet & Jasra 2006, JRSS B
 * 68:411), with t-preconditioned Crank–Nicolson moves at each. Yields progress at least every 64 solves; abandon the
 * generator to cancel. Same problem and settings: the same bytes. Cross-checks: test/reference.
 */
export function* fit(problem: Problem, chosen: Partial<FitSettings> = {}): Generator<Progress, Posterior> {
  const settings = { ...usualSettings, ...chosen };
  const model = prepare(problem);
  const tally: Tally = { solves: 0, round: 0, stride: 0.7 };
  const particles = yield* drawPrior(model, settings, tally);
  const weights = new Float64Array(particles.count).fill(1 / particles.count);
  const logWeights = new Float64Array(particles.count);
  let temperature = 0;
  let logEvidence = 0;
  let levels = 0;
  let acceptance = 1;
  while (temperature < 1 && levels < mostLevels) {
    const next = nextTemperature(particles.logLikelihoods, temperature, logWeights, weights);
    logEvidence += reweigh(particles.logLikelihoods, next - temperature, logWeights, weights);
    temperature = next;
    levels++;
    const cloud = cloudOf(particles.scores, weights, particles.size);
    choose(particles, resample(weights, stream(settings.seed, ++tally.round, -1).uniform()));
    for (let move = 0; move < movesPerLevel; move++) {
      acceptance = yield* report(
        moveOnce(model, particles, cloud, temperature, settings, tally),
        0.05 + 0.75 * Math.sqrt(temperature),
        'weighing the readings',
      );
    }
  }
  const settled = yield* settle(model, particles, lastMoves, settings, tally, 0.8);
  const warnings = temperature < 1 ? ['the fit did not come to its end: its bands may be too wide'] : [];
  return {
    model,
    settings,
    scores: particles.scores,
    logLikelihoods: particles.logLikelihoods,
    logEvidence,
    diagnostics: diagnose(
      model,
      particles.count,
      settled.forgotten,
      settled.acceptance || acceptance,
      levels,
      tally,
      warnings,
    ),
  };
}

/**
 * Takes further readings in without starting over: particles are carried to the new problem by the names of their
 * coordinates (new ones drawn from the prior), weighted by the ratio of the two likelihoods, resampled and moved.
 * Falls back to a fresh fit where the new problem is too far from the old, and says so.
 */
export function* update(previous: Posterior, problem: Problem): Generator<Progress, Posterior> {
  const { settings } = previous;
  const model = prepare(problem);
  const tally: Tally = { solves: 0, round: 1_000_000 + problem.observations.length, stride: 0.5 };
  const particles = yield* carry(previous, model, settings, tally);
  const logWeights = new Float64Array(particles.count);
  const weights = new Float64Array(particles.count);
  for (let i = 0; i < particles.count; i++)
    logWeights[i] = particles.logLikelihoods[i]! - previous.logLikelihoods[i]!;
  const gain = normalise(logWeights, weights);
  if (gain === -Infinity || effectiveCount(weights) < leastForUpdate * particles.count)
    return yield* fit(problem, settings);
  choose(particles, resample(weights, stream(settings.seed, tally.round, -1).uniform()));
  const settled = yield* settle(model, particles, movesPerUpdate, settings, tally, 0.2);
  return {
    model,
    settings,
    scores: particles.scores,
    logLikelihoods: particles.logLikelihoods,
    logEvidence: previous.logEvidence + gain,
    diagnostics: diagnose(model, particles.count, settled.forgotten, settled.acceptance, 0, tally, []),
  };
}

function* drawPrior(model: Model, settings: FitSettings, tally: Tally): Generator<Progress, Particles> {
  const size = model.coordinates.length;
  const count = settings.particles;
  const scores = new Float64Array(count * size);
  const logLikelihoods = new Float64Array(count);
  for (let particle = 0; particle < count; particle++) {
    if (particle % solvesPerPause === 0)
      yield { fraction: (0.05 * particle) / count, said: 'drawing from what is usual' };
    const here = scores.subarray(particle * size, (particle + 1) * size);
    for (let attempt = 0; attempt < priorTries; attempt++) {
      const random = stream(settings.seed, attempt, particle);
      for (let i = 0; i < size; i++) here[i] = random.normal();
      logLikelihoods[particle] = model.logLikelihood(here);
      tally.solves++;
      if (logLikelihoods[particle] !== -Infinity) break;
    }
  }
  return { count, size, scores, logLikelihoods };
}

/** Particles of an earlier fit as particles of a new problem. */
function* carry(
  previous: Posterior,
  model: Model,
  settings: FitSettings,
  tally: Tally,
): Generator<Progress, Particles> {
  const old = new Map(previous.model.coordinates.map((coordinate, index) => [coordinate.name, index]));
  const oldSize = previous.model.coordinates.length;
  const size = model.coordinates.length;
  const count = settings.particles;
  const from = model.coordinates.map((coordinate) => old.get(coordinate.name));
  const scores = new Float64Array(count * size);
  const logLikelihoods = new Float64Array(count);
  for (let particle = 0; particle < count; particle++) {
    if (particle % solvesPerPause === 0)
      yield { fraction: (0.2 * particle) / count, said: 'taking the reading in' };
    const random = stream(settings.seed, tally.round, particle, 1);
    const here = scores.subarray(particle * size, (particle + 1) * size);
    for (let i = 0; i < size; i++) {
      const place = from[i];
      here[i] = place === undefined ? random.normal() : previous.scores[particle * oldSize + place]!;
    }
    logLikelihoods[particle] = model.logLikelihood(here);
    tally.solves++;
  }
  return { count, size, scores, logLikelihoods };
}

function reweigh(
  logLikelihoods: Float64Array,
  step: number,
  logWeights: Float64Array,
  weights: Float64Array,
): number {
  for (let i = 0; i < logLikelihoods.length; i++) logWeights[i] = step * logLikelihoods[i]!;
  return normalise(logWeights, weights);
}

/** The largest next power of the likelihood that keeps enough particles effective, found by bisection. */
function nextTemperature(
  logLikelihoods: Float64Array,
  temperature: number,
  logWeights: Float64Array,
  weights: Float64Array,
): number {
  const enough = (next: number): boolean => {
    reweigh(logLikelihoods, next - temperature, logWeights, weights);
    return effectiveCount(weights) >= keptPerLevel * weights.length;
  };
  if (enough(1)) return 1;
  let low = temperature;
  let high = 1;
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (enough(middle)) low = middle;
    else high = middle;
  }
  return low > temperature ? low : high;
}

function choose(particles: Particles, from: Int32Array): void {
  const { count, size } = particles;
  const scores = particles.scores.slice();
  const logLikelihoods = particles.logLikelihoods.slice();
  for (let i = 0; i < count; i++) {
    const source = from[i]!;
    particles.scores.set(scores.subarray(source * size, (source + 1) * size), i * size);
    particles.logLikelihoods[i] = logLikelihoods[source]!;
  }
}

function* moveOnce(
  model: Model,
  particles: Particles,
  cloud: Cloud,
  temperature: number,
  settings: FitSettings,
  tally: Tally,
): Generator<void, number> {
  const acceptance = yield* moveAll(model, particles, cloud, {
    temperature,
    stride: tally.stride,
    seed: settings.seed,
    round: ++tally.round,
  });
  tally.solves += particles.count;
  if (acceptance < 0.2) tally.stride *= 0.75;
  else if (acceptance > 0.35) tally.stride = Math.min(1, tally.stride * 1.25);
  return acceptance;
}

/** Moves at the full posterior, and how much of where they started the particles still remember. */
function* settle(
  model: Model,
  particles: Particles,
  moves: number,
  settings: FitSettings,
  tally: Tally,
  from: number,
): Generator<Progress, { forgotten: number; acceptance: number }> {
  const even = new Float64Array(particles.count).fill(1 / particles.count);
  const began = particles.scores.slice();
  let acceptance = 0;
  for (let move = 0; move < moves; move++) {
    const cloud = cloudOf(particles.scores, even, particles.size);
    acceptance = yield* report(
      moveOnce(model, particles, cloud, 1, settings, tally),
      from + ((1 - from) * move) / moves,
      'settling',
    );
  }
  return { forgotten: 1 - remembered(began, particles), acceptance };
}

/** Mean over coordinates of the correlation of particles with where they were. */
function remembered(began: Float64Array, particles: Particles): number {
  const { count, size, scores } = particles;
  let sum = 0;
  for (let i = 0; i < size; i++) {
    let [x, y, xx, yy, xy] = [0, 0, 0, 0, 0];
    for (let particle = 0; particle < count; particle++) {
      const a = began[particle * size + i]!;
      const b = scores[particle * size + i]!;
      x += a;
      y += b;
      xx += a * a;
      yy += b * b;
      xy += a * b;
    }
    const spread = Math.sqrt((xx - (x * x) / count) * (yy - (y * y) / count));
    sum += spread > 0 ? (xy - (x * y) / count) / spread : 1;
  }
  return Math.min(1, Math.max(0, sum / size));
}

function* report<T>(steps: Generator<void, T>, fraction: number, said: string): Generator<Progress, T> {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
    yield { fraction, said };
  }
}

function diagnose(
  model: Model,
  particles: number,
  forgotten: number,
  acceptance: number,
  levels: number,
  tally: Tally,
  warnings: readonly string[],
): Diagnostics {
  const memory = 1 - forgotten;
  const doubts = acceptance < 0.05 ? ['few moves were taken: the particles may be too alike'] : [];
  return {
    effectiveSamples: (particles * (1 - memory)) / (1 + memory),
    acceptance,
    levels,
    solves: tally.solves,
    evaluations: model.evaluations(),
    warnings: [...warnings, ...doubts],
  };
}
