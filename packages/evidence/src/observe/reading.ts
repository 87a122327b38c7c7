import { exp, log } from '@brinewright/nitrogen';
import { normalCdf, normalLogDensity } from '../numbers/normal.ts';
import type { Instrument, Observation } from '../problem.ts';

/** What is uncertain about kits and the eyes that read them. */
export interface Eyes {
  /** Spread of a reading on the card's logarithmic scale. */
  readonly blur: number;
  /** mg N/L an ammonia kit shows in water that has none. */
  readonly tint: number;
  /** Nitrate a nitrate kit shows per unit of nitrite. */
  readonly cross: number;
  /** Factor on what this instrument shows. */
  readonly bias: number;
}

/** Levels of the water a reading depends on, mg/L as N and meq/L. */
export interface Levels {
  readonly ammonia: number;
  readonly nitrite: number;
  readonly nitrate: number;
  readonly alkalinity: number;
}

/** Chance of a wrong row, a wrong number or a spoilt test (beta(2, 60), data/priors.csv). */
export const slip = 0.03;

/** Chance that nitrite far above the card reads falsely low, and how far above, in top steps (data/priors.csv). */
const fade = 0.18;
const fadeFrom = 4;
const fadeFull = 6;

/** Further blur of a diluted sample. */
export const dilutionBlur = 0.1;

/** Density of a slip on a scale without steps, per mg/L. */
const slipDensity = 0.1;

/** What an instrument is shown: the level in the sample it reacts to. */
export function signal(instrument: Instrument, levels: Levels, eyes: Eyes): number {
  switch (instrument.analyte) {
    case 'ammonia':
      return levels.ammonia + (instrument.form === 'meter' ? 0 : eyes.tint);
    case 'nitrite':
      return levels.nitrite;
    case 'nitrate':
      return levels.nitrate + eyes.cross * levels.nitrite;
    case 'alkalinity':
      return levels.alkalinity;
  }
}

/** Half the first step above zero: where a card's scale turns from even to geometric. */
export function offsetOf(instrument: Instrument): number {
  if (instrument.form === 'eye') return instrument.offset;
  if (instrument.form === 'meter') return 0;
  return (instrument.steps.find((step) => step > 0) ?? 0.2) / 2;
}

/** Chance that a level is perceived between two levels, on the scale ln(c + offset). */
export const chanceBetween = (
  low: number,
  high: number,
  middle: number,
  blur: number,
  offset: number,
): number => chanceOnScale(placeOf(low, offset), placeOf(high, offset), middle, blur);

/** Place of an end of an interval on that scale; nothing lies below a level of zero. */
const placeOf = (level: number, offset: number): number => (level <= 0 ? -Infinity : log(level + offset));

function chanceOnScale(low: number, high: number, middle: number, blur: number): number {
  const above = high === Infinity ? 1 : normalCdf((high - middle) / blur);
  const below = low === -Infinity ? 0 : normalCdf((low - middle) / blur);
  return Math.max(0, above - below);
}

/** Share of nitrite readings whose colour fails, by how many times the card's top there is. */
const failing = (tops: number): number =>
  fade * Math.min(1, Math.max(0, (tops - fadeFrom) / (fadeFull - fadeFrom)));

/** Chance of a reading when the colour fails: any step between the ends; a failed colour is seldom no colour. */
const failedChance = (observation: Observation, steps: number): number =>
  observation.low <= 0 || observation.high === Infinity ? 0 : 1 / Math.max(1, steps - 2);

/** Logarithm of the likelihood of a reading, given the water and who looked at it. */
export type Weigh = (levels: Levels, eyes: Eyes) => number;

/**
 * Makes a reading ready to be weighed against many waters: the chance of the interval the reader chose (a card), or
 * the density of the number shown (a meter), mixed with a small chance of a slip. See docs/science/readings.md.
 */
export function weighing(observation: Observation, instrument: Instrument): Weigh {
  const { dilution, shown } = observation;
  if (instrument.form === 'meter')
    return (levels, eyes) => {
      const x = signal(instrument, levels, eyes) / dilution;
      const density = exp(normalLogDensity(shown, x, instrument.floor + instrument.share * x));
      return log((1 - slip) * density + slip * slipDensity);
    };
  const offset = offsetOf(instrument);
  const low = placeOf(observation.low, offset);
  const high = placeOf(observation.high, offset);
  const moreBlur = dilution > 1 ? dilutionBlur : 0;
  const chanceOf = (x: number, eyes: Eyes): number =>
    chanceOnScale(low, high, log((x + offset) * eyes.bias), eyes.blur + moreBlur);
  if (instrument.form === 'eye')
    return (levels, eyes) =>
      log((1 - slip) * chanceOf(signal(instrument, levels, eyes) / dilution, eyes) + slip * slipDensity);
  const steps = instrument.steps.length;
  const top = instrument.analyte === 'nitrite' ? (instrument.steps.at(-1) ?? Infinity) : Infinity;
  const chanceIfFailed = failedChance(observation, steps);
  return (levels, eyes) => {
    const x = signal(instrument, levels, eyes) / dilution;
    const failed = failing(x / top);
    const read = (1 - failed) * chanceOf(x, eyes) + failed * chanceIfFailed;
    return log((1 - slip) * read + slip / steps);
  };
}

/** Logarithm of the likelihood of one reading given the water: `weighing` for a single use. */
export const readingLogLikelihood = (
  observation: Observation,
  instrument: Instrument,
  levels: Levels,
  eyes: Eyes,
): number => weighing(observation, instrument)(levels, eyes);
