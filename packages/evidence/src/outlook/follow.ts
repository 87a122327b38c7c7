import { stateIndex, stateWidth } from '@brinewright/nitrogen';
import { solvesPerPause } from '../infer/moves.ts';
import type { Posterior, Progress } from '../infer/posterior.ts';
import { firstWantedRow, type Model, prepare } from '../model/model.ts';
import { stream } from '../numbers/random.ts';

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
export const futureKey = 2_000_000;

/** Scores of a particle in a model that reaches further than the fit: what lies ahead is drawn from the prior. */
export function stretch(posterior: Posterior, particle: number, model: Model, scores: Float64Array): void {
  const known = posterior.model.coordinates.length;
  scores.set(posterior.scores.subarray(particle * known, (particle + 1) * known));
  const random = stream(posterior.settings.seed, futureKey, particle);
  for (let i = known; i < model.coordinates.length; i++) scores[i] = random.normal();
}

/** Runs every particle on to the horizon (days since the opening). */
export function* follow(posterior: Posterior, horizon: number): Generator<Progress, Trajectories> {
  const { problem } = posterior.model;
  const whole = Array.from({ length: Math.ceil(horizon) }, (_, day) => day);
  const days = [...new Set([...whole, problem.today, horizon])].sort((a, b) => a - b);
  const model = prepare({ ...problem, observations: [] }, { until: horizon, outputDays: days });
  const particles = posterior.settings.particles;
  const scores = new Float64Array(model.coordinates.length);
  const first = firstWantedRow(model);
  const todayRow = first + days.indexOf(problem.today);
  const level = (): Float64Array => new Float64Array(days.length * particles);
  const found = { ammonia: level(), nitrite: level(), nitrate: level() };
  const readyDays = new Float64Array(particles);
  const today = new Float64Array(particles * stateWidth);
  for (let particle = 0; particle < particles; particle++) {
    if (particle % solvesPerPause === 0) yield { fraction: particle / particles, said: 'looking ahead' };
    stretch(posterior, particle, model, scores);
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
