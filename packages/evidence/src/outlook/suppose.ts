import { log, stateIndex, stateWidth } from '@brinewright/nitrogen';
import type { Posterior } from '../infer/posterior.ts';
import { blockSize } from '../model/block.ts';
import { firstWantedRow, type Model, prepare } from '../model/model.ts';
import { normalCdf } from '../numbers/normal.ts';
import { cardOffset, stepInterval } from '../observe/card.ts';
import { chanceBetween, dilutionBlur, offsetOf, signal, slip } from '../observe/reading.ts';
import type { Deed, Instrument } from '../problem.ts';
import { carry, showNearest } from './follow.ts';
import type { Ask } from './predict.ts';

/** What is asked of every particle about a stretch of time: what was done in it, and what is wanted of it. */
export interface Supposition {
  /** Deeds supposed beside those of the problem, days since the opening. */
  readonly deeds?: readonly Deed[];
  /** Days at which the water is wanted, ascending, after that instant's deeds. */
  readonly days: readonly number[];
  /** Readings whose outcomes are wanted, each at one of its steps, or one of the bins of a scale without steps. */
  readonly asks?: readonly Ask[];
}

/** Every particle's answer. Levels in mg/L as N and meq/L, shape (days, particles). */
export interface Supposed {
  readonly particles: number;
  readonly ammonia: Float64Array;
  readonly nitrite: Float64Array;
  readonly nitrate: Float64Array;
  readonly alkalinity: Float64Array;
  /** For each ask the chance of each outcome in each particle, shape (outcomes, particles). */
  readonly outcomes: readonly Float64Array[];
}

const levelNames = ['ammonia', 'nitrite', 'nitrate', 'alkalinity'] as const;

/** Edges that cut a scale without steps into outcomes, mg/L as N (meq/L for alkalinity). */
const edges = {
  ammonia: [0.05, 0.12, 0.25, 0.5, 1, 2, 4],
  nitrite: [0.03, 0.1, 0.25, 0.5, 1, 2, 5],
  nitrate: [0.5, 1, 2, 4, 8, 16],
  alkalinity: [0.8, 1.2, 1.6, 2, 2.4, 2.8, 3.2],
} as const;

/**
 * Runs every particle through the problem with further deeds supposed. What the problem already left open keeps each
 * particle's value; what only the supposition brings in, and what lies ahead, is drawn from the prior, the same draw
 * for every question asked of a posterior.
 */
export function suppose(posterior: Posterior, { deeds = [], days, asks = [] }: Supposition): Supposed {
  const { problem } = posterior.model;
  const until = [...days, ...asks.map((ask) => ask.day)].reduce((a, b) => Math.max(a, b), problem.today);
  const probes = asks.map(({ day, dilution }) => ({
    day,
    dilution,
    instrument: 0,
    low: 0,
    high: 0,
    shown: 0,
  }));
  const model = prepare(
    { ...problem, deeds: [...problem.deeds, ...deeds], observations: probes },
    { until, outputDays: days },
  );
  const run = carry(posterior, model);
  const { particles } = posterior.settings;
  const level = (): Float64Array => new Float64Array(days.length * particles);
  const found = { ammonia: level(), nitrite: level(), nitrate: level(), alkalinity: level() };
  const outcomes = asks.map(({ instrument }) => new Float64Array(outcomeCount(instrument) * particles));
  const first = firstWantedRow(model);
  for (let start = 0; start < particles; start += blockSize) {
    const end = start + run(start);
    for (let particle = start; particle < end; particle++) {
      showNearest(model, particle - start, end - start);
      const { states } = model;
      for (let day = 0; day < days.length; day++)
        for (const name of levelNames)
          found[name][day * particles + particle] = states[(first + day) * stateWidth + stateIndex[name]]!;
      for (const [index, ask] of asks.entries())
        fillOutcomes(model, index, ask, outcomes[index]!, particle, particles);
    }
  }
  return { particles, ...found, outcomes };
}

/** How many outcomes a reading with an instrument is told apart into. */
export const outcomeCount = (instrument: Instrument): number =>
  instrument.form === 'card' ? instrument.steps.length : edges[instrument.analyte].length + 1;

function fillOutcomes(
  model: Model,
  index: number,
  { instrument, which, dilution }: Ask,
  into: Float64Array,
  particle: number,
  particles: number,
): void {
  const rows = model.rowsOf(index);
  const count = outcomeCount(instrument);
  const eyes = model.eyes(which);
  const blur = dilution > 1 ? eyes.blur + dilutionBlur : eyes.blur;
  for (const row of rows) {
    const x = signal(instrument, model.levels(row), eyes) / dilution;
    for (let outcome = 0; outcome < count; outcome++) {
      const { low, high } = outcomeInterval(instrument, outcome);
      const chance =
        instrument.form === 'meter'
          ? meterChance(low, high, x, instrument.floor + instrument.share * x)
          : chanceBetween(
              low,
              high,
              log(x + offsetOf(instrument)) + log(eyes.bias),
              blur,
              instrument.form === 'card' ? cardOffset(instrument.steps) : instrument.offset,
            );
      const place = outcome * particles + particle;
      into[place] = into[place]! + ((1 - slip) * chance + slip / count) / rows.length;
    }
  }
}

function outcomeInterval(instrument: Instrument, outcome: number): { low: number; high: number } {
  if (instrument.form === 'card') return stepInterval(instrument.steps, outcome);
  const cuts: readonly number[] = edges[instrument.analyte];
  return { low: cuts[outcome - 1] ?? -Infinity, high: cuts[outcome] ?? Infinity };
}

const meterChance = (low: number, high: number, middle: number, spread: number): number =>
  (high === Infinity ? 1 : normalCdf((high - middle) / spread)) -
  (low === -Infinity ? 0 : normalCdf((low - middle) / spread));
