import { stateIndex, stateWidth } from '@brinewright/nitrogen';
import { carrierOf } from '../infer/carrier.ts';
import type { Posterior, Progress } from '../infer/posterior.ts';
import { blockSize } from '../model/block.ts';
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
 * Runs a posterior's particles, a block at a time from the one given, through another model of the same tank, one that
 * reaches further than the fit or has something supposed otherwise: an unknown both have keeps the particle's value, by
 * name; any other is drawn from the prior, the same draw for every question asked of a posterior. Returns how many
 * were run, for the model to show.
 */
export function carry(posterior: Posterior, model: Model): (start: number) => number {
  const { seed, particles } = posterior.settings;
  const size = model.coordinates.length;
  const carryOver = carrierOf(posterior, model.coordinates);
  const scores = new Float64Array(blockSize * size);
  return (start) => {
    const count = Math.min(blockSize, particles - start);
    for (let row = 0; row < count; row++) {
      const particle = start + row;
      carryOver(particle, stream(seed, futureKey, particle), scores, row * size);
    }
    model.run(scores, count);
    return count;
  };
}

/**
 * Shows a particle of the last run, or, where its run did not come to its end, the nearest of the block whose did:
 * particles are alike, and one in many thousands asks more of the integrator than it may spend.
 * @throws Error where none did
 */
export function showNearest(model: Pick<Model, 'show'>, particle: number, count: number): void {
  for (let away = 0; away < count; away++)
    for (const other of [particle + away, particle - away])
      if (other >= 0 && other < count && model.show(other)) return;
  throw new Error('no particle could be followed so far ahead');
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
  const run = carry(posterior, model);
  const particles = posterior.settings.particles;
  const first = firstWantedRow(model);
  const todayRow = first + days.indexOf(now);
  const level = (): Float64Array => new Float64Array(days.length * particles);
  const found = { ammonia: level(), nitrite: level(), nitrate: level() };
  const readyDays = new Float64Array(particles);
  const today = new Float64Array(particles * stateWidth);
  for (let start = 0; start < particles; start += blockSize) {
    yield { fraction: start / particles, said: 'looking ahead' };
    const end = start + run(start);
    for (let particle = start; particle < end; particle++) {
      showNearest(model, particle - start, end - start);
      const { states } = model;
      readyDays[particle] = model.report.readyDay;
      today.set(states.subarray(todayRow * stateWidth, (todayRow + 1) * stateWidth), particle * stateWidth);
      for (let day = 0; day < days.length; day++) {
        const row = (first + day) * stateWidth;
        found.ammonia[day * particles + particle] = states[row + stateIndex.ammonia]!;
        found.nitrite[day * particles + particle] = states[row + stateIndex.nitrite]!;
        found.nitrate[day * particles + particle] = states[row + stateIndex.nitrate]!;
      }
    }
  }
  return { days: Float64Array.from(days), particles, ...found, readyDays, today };
}
