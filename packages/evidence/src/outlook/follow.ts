import { stateIndex, stateWidth } from '@brinewright/nitrogen';
import { solvesPerPause } from '../infer/moves.ts';
import type { Posterior, Progress } from '../infer/posterior.ts';
import { firstWantedRow, type Model, prepare } from '../model/model.ts';
import { stream } from '../numbers/random.ts';
import type { Problem } from '../problem.ts';

/** Where every particle goes: levels of the water day by day, and when it is ready. */
export interface Trajectories {
  readonly days: Float64Array;
  readonly particles: number;
  /** mg N/L, shape (days, particles), one array an analyte. */
  readonly ammonia: Float64Array;
  readonly nitrite: Float64Array;
  readonly nitrate: Float64Array;
  /** Day each particle's water is ready, Infinity past the horizon. */
  readonly readyDays: Float64Array;
  /** Full states today, shape (particles, stateWidth). */
  readonly today: Float64Array;
}

/** Key of the streams that draw what future spells bring; the same for every question asked of a posterior. */
const futureKey = 2_000_000;

/**
 * Fills in the scores of a particle in another model of the same tank, one that reaches further than the fit or has
 * something supposed otherwise: an unknown both have keeps the particle's value, by name; any other is drawn from the
 * prior, the same draw for every question asked of a posterior.
 */
export function carry(posterior: Posterior, model: Model): (particle: number, scores: Float64Array) => void {
  const { coordinates } = posterior.model;
  const known = new Map(coordinates.map(({ name }, index) => [name, index]));
  const from = model.coordinates.map(({ name }) => known.get(name));
  return (particle, scores) => {
    const random = stream(posterior.settings.seed, futureKey, particle);
    for (const [i, place] of from.entries())
      scores[i] =
        place === undefined ? random.normal() : posterior.scores[particle * coordinates.length + place]!;
  };
}

export interface Following {
  /** Days at which levels are wanted beside every whole day, today and the horizon. */
  readonly moments?: readonly number[];
  /**
   * The problem with something supposed otherwise: further deeds, a deed left out, warmer water. Every particle goes
   * through it with what the readings left possible of it, so that two courses differ by the supposition alone.
   */
  readonly supposing?: Problem;
}

/** Runs every particle on to the horizon (days since the opening). */
export function* follow(
  posterior: Posterior,
  horizon: number,
  { moments = [], supposing = posterior.model.problem }: Following = {},
): Generator<Progress, Trajectories> {
  const { today: now } = posterior.model.problem;
  const whole = Array.from({ length: Math.ceil(horizon) }, (_, day) => day);
  const between = moments.filter((day) => day >= 0 && day <= horizon);
  const days = [...new Set([...whole, ...between, now, horizon])].sort((a, b) => a - b);
  const model = prepare({ ...supposing, observations: [] }, { until: horizon, outputDays: days });
  const fill = carry(posterior, model);
  const particles = posterior.settings.particles;
  const scores = new Float64Array(model.coordinates.length);
  const first = firstWantedRow(model);
  const todayRow = first + days.indexOf(now);
  const level = (): Float64Array => new Float64Array(days.length * particles);
  const found = { ammonia: level(), nitrite: level(), nitrate: level() };
  const readyDays = new Float64Array(particles);
  const today = new Float64Array(particles * stateWidth);
  for (let particle = 0; particle < particles; particle++) {
    if (particle % solvesPerPause === 0) yield { fraction: particle / particles, said: 'looking ahead' };
    fill(particle, scores);
    model.follow(scores);
    readyDays[particle] = model.report.readyDay;
    today.set(
      model.states.subarray(todayRow * stateWidth, (todayRow + 1) * stateWidth),
      particle * stateWidth,
    );
    for (let day = 0; day < days.length; day++) {
      const row = (first + day) * stateWidth;
      found.ammonia[day * particles + particle] = model.states[row + stateIndex.ammonia]!;
      found.nitrite[day * particles + particle] = model.states[row + stateIndex.nitrite]!;
      found.nitrate[day * particles + particle] = model.states[row + stateIndex.nitrate]!;
    }
  }
  return { days: Float64Array.from(days), particles, ...found, readyDays, today };
}
