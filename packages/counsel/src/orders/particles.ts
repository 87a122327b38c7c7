import { type Posterior, quantiles } from '@brinewright/evidence';
import { type StateName, stateIndex, stateWidth, valueAt } from '@brinewright/nitrogen';
import type { Reckoning } from '../course/reckon.ts';

/** A quantity over the particles: median and 90 % band. */
export interface Band {
  readonly p05: number;
  readonly p50: number;
  readonly p95: number;
}

export function bandOf(draws: Float64Array): Band {
  const [p05, p50, p95] = quantiles(draws, [0.05, 0.5, 0.95]);
  return { p05: p05!, p50: p50!, p95: p95! };
}

/** Share of the draws for which something holds. */
export function chanceOf(draws: Float64Array, holds: (value: number, particle: number) => boolean): number {
  let count = 0;
  for (let i = 0; i < draws.length; i++) if (holds(draws[i]!, i)) count++;
  return count / draws.length;
}

/** One quantity of today's water in every particle. */
export const todayOf = ({ trajectories }: Reckoning, name: StateName): Float64Array =>
  Float64Array.from(
    { length: trajectories.particles },
    (_, i) => trajectories.today[i * stateWidth + stateIndex[name]]!,
  );

/** What the fit left possible of one unknown, in its unit; undefined where this tank does not have it. */
export function valuesOf({ model, scores, settings }: Posterior, name: string): Float64Array | undefined {
  const place = model.coordinates.findIndex((coordinate) => coordinate.name === name);
  if (place < 0) return undefined;
  const { prior } = model.coordinates[place]!;
  const size = model.coordinates.length;
  return Float64Array.from({ length: settings.particles }, (_, i) =>
    valueAt(prior, scores[i * size + place]!),
  );
}

/** A row of a (rows, particles) array. */
export const rowOf = (values: Float64Array, row: number, particles: number): Float64Array =>
  values.subarray(row * particles, (row + 1) * particles);
