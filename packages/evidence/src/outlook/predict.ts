import { stateIndex, stateWidth } from '@brinewright/nitrogen';
import type { Posterior } from '../infer/posterior.ts';
import { prepare } from '../model/model.ts';
import { normalCdf } from '../numbers/normal.ts';
import { cardOffset, stepInterval } from '../observe/card.ts';
import { chanceBetween, type Eyes, offsetOf, signal, slip } from '../observe/reading.ts';
import type { Instrument } from '../problem.ts';
import { stretch } from './follow.ts';

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

/**
 * The predictive distribution of a reading by an instrument at a day. `which` is the index of the instrument in the
 * problem, or null for one the tank has not used: its bias is then drawn from the prior's middle.
 */
export function predictReading(
  posterior: Posterior,
  {
    day,
    instrument,
    which,
    dilution = 1,
  }: { day: number; instrument: Instrument; which: number | null; dilution?: number },
  shares: readonly number[],
): ReadingForecast {
  const views = viewsAt(posterior, day, instrument, which, dilution);
  if (instrument.form === 'card') return cardForecast(instrument.steps, views, shares);
  return scaleForecast(instrument, views, shares);
}

function viewsAt(
  posterior: Posterior,
  day: number,
  instrument: Instrument,
  which: number | null,
  dilution: number,
): View[] {
  const { problem } = posterior.model;
  const probe = { day, instrument: 0, low: 0, high: 0, shown: 0, dilution };
  const today = Math.max(problem.today, day);
  const model = prepare({ ...problem, today, observations: [probe] }, { until: today });
  const names = new Map(model.coordinates.map((coordinate, index) => [coordinate.name, index]));
  const value = (name: string, otherwise: number): number => {
    const place = names.get(name);
    return place === undefined ? otherwise : model.values[place]!;
  };
  const scores = new Float64Array(model.coordinates.length);
  const rows = model.states.length / stateWidth;
  const views: View[] = [];
  for (let particle = 0; particle < posterior.settings.particles; particle++) {
    stretch(posterior, particle, model, scores);
    if (!model.follow(scores)) continue;
    const eyes: Eyes = {
      blur: value('blur', 0.35) + (dilution > 1 ? 0.1 : 0),
      tint: value('tint', 0.06),
      cross: value('cross', 17),
      bias: Math.exp(which === null ? 0 : value(`bias:${which}`, 0)),
    };
    for (let row = 0; row < rows; row++) {
      const at = row * stateWidth;
      const levels = {
        ammonia: model.states[at + stateIndex.ammonia]!,
        nitrite: model.states[at + stateIndex.nitrite]!,
        nitrate: model.states[at + stateIndex.nitrate]!,
        alkalinity: model.states[at + stateIndex.alkalinity]!,
      };
      views.push(viewOf(instrument, signal(instrument, levels, eyes) / dilution, eyes));
    }
  }
  return views;
}

function viewOf(instrument: Instrument, x: number, eyes: Eyes): View {
  if (instrument.form === 'meter') return { middle: x, spread: instrument.floor + instrument.share * x };
  return { middle: Math.log(x + offsetOf(instrument)) + Math.log(eyes.bias), spread: eyes.blur };
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
  const shown = (place: number): number => Math.max(0, logarithmic ? Math.exp(place) - offset : place);
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
          ? Math.max(0, Math.exp(view.middle + view.spread ** 2 / 2) - offset)
          : Math.max(0, view.middle)),
      0,
    ) / views.length;
  return { mean, quantiles: shares.map(quantile), chances: [] };
}
