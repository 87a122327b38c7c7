import { log, stateIndex, stateWidth } from '@brinewright/nitrogen';
import type { Posterior } from '../infer/posterior.ts';
import { blockSize } from '../model/block.ts';
import { firstWantedRow, type Model, prepare } from '../model/model.ts';
import { normalCdf } from '../numbers/normal.ts';
import { stepInterval } from '../observe/card.ts';
import { offsetOf, signal, slip } from '../observe/reading.ts';
import { levelNames } from '../observe/shape.ts';
import type { Deed, Instrument } from '../problem.ts';
import { carry, showNearest } from './follow.ts';
import { type Ask, eyesFor, viewOf } from './predict.ts';

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
  const cuts = asks.map(({ instrument }) => cutsOf(instrument));
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
        fillOutcomes(model, index, ask, cuts[index]!, outcomes[index]!, particle, particles);
    }
  }
  return { particles, ...found, outcomes };
}

/** How many outcomes a reading with an instrument is told apart into. */
export const outcomeCount = (instrument: Instrument): number =>
  instrument.form === 'card' ? instrument.steps.length : edges[instrument.analyte].length + 1;

/** Adds the shown particle's chances of each outcome of a reading. `cuts`: between them, on the instrument's scale. */
function fillOutcomes(
  model: Model,
  index: number,
  { instrument, which, dilution }: Ask,
  cuts: Float64Array,
  into: Float64Array,
  particle: number,
  particles: number,
): void {
  const rows = model.rowsOf(index);
  const eyes = eyesFor(model, which, dilution);
  const slipped = slip / (cuts.length + 1);
  for (const row of rows) {
    const view = viewOf(instrument, signal(instrument, model.levels(row), eyes) / dilution, eyes);
    let below = 0;
    for (let outcome = 0; outcome <= cuts.length; outcome++) {
      const under = outcome < cuts.length ? normalCdf((cuts[outcome]! - view.middle) / view.spread) : 1;
      const place = outcome * particles + particle;
      into[place] = into[place]! + ((1 - slip) * Math.max(0, under - below) + slipped) / rows.length;
      below = under;
    }
  }
}

/** Where one outcome of a reading ends and the next begins, on the scale its instrument is read on. */
function cutsOf(instrument: Instrument): Float64Array {
  if (instrument.form === 'meter') return Float64Array.from(edges[instrument.analyte]);
  const offset = offsetOf(instrument);
  const ends =
    instrument.form === 'card'
      ? instrument.steps.slice(1).map((_, step) => stepInterval(instrument.steps, step).high)
      : edges[instrument.analyte];
  return Float64Array.from(ends, (level) => log(level + offset));
}
