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
export const fade = 0.18;
export const fadeFrom = 4;
export const fadeFull = 6;

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

/** A reading made ready to be weighed against many waters: all that depends on the kit and the number alone. */
export interface Ready {
  readonly instrument: number;
  readonly analyte: Instrument['analyte'];
  /** Whether it is a number shown, with an error, and not an interval on a scale of ln (c + offset). */
  readonly metered: boolean;
  /** Whether the tint of clean water adds to it. */
  readonly tinted: boolean;
  readonly dilution: number;
  /** Ends of the interval on the scale; for a meter the number shown, twice. */
  readonly low: number;
  readonly high: number;
  readonly offset: number;
  readonly moreBlur: number;
  /** A meter's error: floor + share of the level. */
  readonly floor: number;
  readonly share: number;
  /** Top of a nitrite card, far above which its colour may fail; Infinity for others. */
  readonly top: number;
  readonly ifFailed: number;
  /** Chance that it is no slip, and the likelihood that one leaves to any reading. */
  readonly held: number;
  readonly slipped: number;
}

export function readied(observation: Observation, instrument: Instrument): Ready {
  const { dilution, shown, doubt = slip } = observation;
  const { analyte, form } = instrument;
  const offset = offsetOf(instrument);
  const steps = form === 'card' ? instrument.steps.length : Infinity;
  return {
    instrument: observation.instrument,
    analyte,
    metered: form === 'meter',
    tinted: form !== 'meter' && analyte === 'ammonia',
    dilution,
    low: form === 'meter' ? shown : placeOf(observation.low, offset),
    high: form === 'meter' ? shown : placeOf(observation.high, offset),
    offset,
    moreBlur: dilution > 1 ? dilutionBlur : 0,
    floor: form === 'meter' ? instrument.floor : 0,
    share: form === 'meter' ? instrument.share : 0,
    top: form === 'card' && analyte === 'nitrite' ? (instrument.steps.at(-1) ?? Infinity) : Infinity,
    ifFailed: failedChance(observation, steps),
    held: 1 - doubt,
    slipped: form === 'card' ? doubt / steps : doubt * slipDensity,
  };
}

/**
 * Likelihood of a reading, given the water and who looked at it: the chance of the interval the reader chose (a card),
 * or the density of the number shown (a meter), mixed with a small chance of a slip. See docs/science/readings.md.
 */
export function likelihood(reading: Ready, levels: Levels, eyes: Eyes): number {
  let level = levels[reading.analyte];
  if (reading.tinted) level += eyes.tint;
  else if (reading.analyte === 'nitrate') level += eyes.cross * levels.nitrite;
  const x = level / reading.dilution;
  if (reading.metered) {
    const sd = reading.floor + reading.share * x;
    return reading.held * exp(normalLogDensity(reading.low, x, sd)) + reading.slipped;
  }
  const middle = log((x + reading.offset) * eyes.bias);
  const chance = chanceOnScale(reading.low, reading.high, middle, eyes.blur + reading.moreBlur);
  const failed = failing(x / reading.top);
  return reading.held * (chance + failed * (reading.ifFailed - chance)) + reading.slipped;
}

/** Logarithm of the likelihood of one reading given the water, for a single use. */
export const readingLogLikelihood = (
  observation: Observation,
  instrument: Instrument,
  levels: Levels,
  eyes: Eyes,
): number => log(likelihood(readied(observation, instrument), levels, eyes));
