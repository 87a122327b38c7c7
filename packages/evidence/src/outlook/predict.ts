import { exp, log } from '@brinewright/nitrogen';
import type { Posterior } from '../infer/posterior.ts';
import { blockSize } from '../model/block.ts';
import { type Model, prepare } from '../model/model.ts';
import { normalCdf } from '../numbers/normal.ts';
import { cardOffset, stepInterval } from '../observe/card.ts';
import { chanceBetween, dilutionBlur, type Eyes, offsetOf, signal, slip } from '../observe/reading.ts';
import type { Instrument } from '../problem.ts';
import { carry } from './follow.ts';

/** What a reading would show, before it is taken: in the instrument's own unit as N, undiluted unless said. */
export interface ReadingForecast {
  readonly mean: number;
  /** The level at each share asked for. */
  readonly quantiles: readonly number[];
  /** Chance of each step, for a card; empty otherwise. */
  readonly chances: readonly number[];
}

/** One particle's view of a reading: where on the instrument's scale it would fall, and how widely. */
interface View {
  readonly middle: number;
  readonly spread: number;
}

/** A reading that might be taken. */
export interface Ask {
  readonly day: number;
  readonly instrument: Instrument;
  /** Index of the instrument in the problem, or null for one the tank has not used: its bias is then taken as none. */
  readonly which: number | null;
  /** 1 = undiluted. */
  readonly dilution: number;
}

/** The predictive distributions of readings, in the order asked, from one run of every particle. */
export function predictReadings(
  posterior: Posterior,
  asks: readonly Ask[],
  shares: readonly number[],
): ReadingForecast[] {
  const views = viewsOf(posterior, asks);
  return asks.map(({ instrument }, index) =>
    instrument.form === 'card'
      ? cardForecast(instrument.steps, views[index]!, shares)
      : scaleForecast(instrument, views[index]!, shares),
  );
}

function viewsOf(posterior: Posterior, asks: readonly Ask[]): View[][] {
  const { problem } = posterior.model;
  const until = asks.reduce((latest, ask) => Math.max(latest, ask.day), problem.today);
  const probes = asks.map(({ day, dilution }) => ({
    day,
    dilution,
    instrument: 0,
    low: 0,
    high: 0,
    shown: 0,
  }));
  const model = prepare({ ...problem, observations: probes }, { until });
  const views = asks.map((): View[] => []);
  const run = carry(posterior, model);
  for (let start = 0; start < posterior.settings.particles; start += blockSize) {
    const count = run(start);
    for (let i = 0; i < count; i++) if (model.show(i)) addViews(model, asks, views);
  }
  return views;
}

/** The shown particle's views of the readings. */
function addViews(model: Model, asks: readonly Ask[], views: readonly View[][]): void {
  for (const [index, { instrument, which, dilution }] of asks.entries()) {
    const eyes = eyesFor(model, which, dilution);
    for (const row of model.rowsOf(index))
      views[index]!.push(viewOf(instrument, signal(instrument, model.levels(row), eyes) / dilution, eyes));
  }
}

/** What the shown particle supposes of who takes a reading; a diluted sample is seen less sharply. */
export function eyesFor(model: Model, which: number | null, dilution: number): Eyes {
  const eyes = model.eyes(which);
  return dilution > 1 ? { ...eyes, blur: eyes.blur + dilutionBlur } : eyes;
}

/** Where a level falls on the scale an instrument is read on, and how widely. */
export function viewOf(instrument: Instrument, x: number, eyes: Eyes): View {
  if (instrument.form === 'meter') return { middle: x, spread: instrument.floor + instrument.share * x };
  return { middle: log(x + offsetOf(instrument)) + log(eyes.bias), spread: eyes.blur };
}

function cardForecast(
  steps: readonly number[],
  views: readonly View[],
  shares: readonly number[],
): ReadingForecast {
  const offset = cardOffset(steps);
  const chances = steps.map((_, index) => {
    const { low, high } = stepInterval(steps, index);
    let sum = 0;
    for (const view of views) sum += chanceBetween(low, high, view.middle, view.spread, offset);
    return ((1 - slip) * sum) / views.length + slip / steps.length;
  });
  const mean = chances.reduce((sum, chance, index) => sum + chance * steps[index]!, 0);
  const quantile = (share: number): number => {
    let cumulative = 0;
    for (const [index, chance] of chances.entries()) {
      cumulative += chance;
      if (cumulative >= share - 1e-12) return steps[index]!;
    }
    return steps.at(-1)!;
  };
  return { mean, quantiles: shares.map(quantile), chances };
}

function scaleForecast(
  instrument: Exclude<Instrument, { form: 'card' }>,
  views: readonly View[],
  shares: readonly number[],
): ReadingForecast {
  const logarithmic = instrument.form === 'eye';
  const offset = offsetOf(instrument);
  // A reader writes 0 for what is fainter than half the offset.
  const faint = logarithmic ? offset / 2 : 0;
  const shown = (place: number): number => {
    const level = logarithmic ? exp(place) - offset : place;
    return level <= faint ? 0 : level;
  };
  const below = (place: number): number => {
    let sum = 0;
    for (const view of views) sum += normalCdf((place - view.middle) / view.spread);
    return sum / views.length;
  };
  const reach = (sign: number): number =>
    views.reduce((most, view) => Math.max(most, sign * view.middle + 6 * view.spread), -Infinity) * sign;
  const quantile = (share: number): number => {
    let low = reach(-1);
    let high = reach(1);
    for (let i = 0; i < 50; i++) {
      const middle = (low + high) / 2;
      if (below(middle) < share) low = middle;
      else high = middle;
    }
    return shown((low + high) / 2);
  };
  const mean =
    views.reduce(
      (sum, view) =>
        sum +
        (logarithmic
          ? Math.max(0, exp(view.middle + view.spread ** 2 / 2) - offset)
          : Math.max(0, view.middle)),
      0,
    ) / views.length;
  return { mean, quantiles: shares.map(quantile), chances: [] };
}
