import { dayMs } from '../paper/words.ts';

/** The span of time a chart shows, as columns of character cells. */
export interface TimeScale {
  readonly from: number;
  readonly to: number;
  readonly columns: number;
  /** Column of an instant, fractional; below 0 or from `columns` on where it lies outside. */
  readonly column: (ms: number) => number;
  /** Instant at a fractional column. */
  readonly at: (column: number) => number;
}

export function timeScale(from: number, to: number, columns: number): TimeScale {
  const span = Math.max(1, to - from);
  return {
    from,
    to,
    columns,
    column: (ms) => ((ms - from) / span) * columns,
    at: (column) => from + (column / columns) * span,
  };
}

/** Levels from 0 to a round top, with the values to write beside them. */
export interface LevelScale {
  readonly top: number;
  readonly ticks: readonly number[];
}

/** The next step up among 1, 2 and 5 times a power of ten. */
function roundStep(least: number): number {
  const power = 10 ** Math.floor(Math.log10(least));
  const factor = [1, 2, 5, 10].find((each) => each * power >= least * (1 - 1e-9)) ?? 10;
  return factor * power;
}

/** A scale that holds `most`, with two or three steps; never finer than a tenth of a mg/L, where kits see nothing. */
export function levelScale(most: number): LevelScale {
  const step = roundStep(Math.max(most, 0.2) / 3);
  const count = Math.max(2, Math.ceil(most / step - 1e-9));
  return { top: count * step, ticks: Array.from({ length: count + 1 }, (_, index) => index * step) };
}

const strides = [1, 2, 7, 14, 28, 56, 91, 182, 364];

/** Whole days since the opening to label, so that neighbours stand at least `apart` columns from each other. */
export function dayTicks(scale: TimeScale, opened: number, apart: number): number[] {
  const columnsPerDay = (scale.columns / (scale.to - scale.from)) * dayMs;
  const stride = strides.find((days) => days * columnsPerDay >= apart) ?? 364;
  const first = Math.ceil((scale.from - opened) / dayMs / stride - 1e-9) * stride;
  const ticks: number[] = [];
  for (let day = first; opened + day * dayMs <= scale.to; day += stride) ticks.push(day);
  return ticks;
}
