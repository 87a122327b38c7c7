import { freeAmmoniaFraction } from '@brinewright/seawater';
import { decayFactor, oxygenFactor, oxygenHalf, pHFactor, temperatureFactor } from './process/limiters.ts';

/**
 * What a run passes through, in order of time. A plan is made once for a tank and shared by every particle:
 * only the amounts differ, and a stop names the slot of the amounts where its own begins.
 */
export const stopKind = {
  /** New surroundings: slot is the index of a segment. */
  segment: 0,
  /** Multiplier on all oxidation from here on: one amount. */
  vigour: 1,
  /** Steady input of ammonia from here on, mg N/L/d: one amount. */
  load: 2,
  /** mg N/L added: one amount. */
  ammonia: 3,
  nitrite: 4,
  nitrate: 5,
  /** mg N/L of food, tissue or other organic matter: one amount. */
  organic: 6,
  /** Capacity added, mg N/L/d: two amounts, ammonia then nitrite oxidisers. */
  culture: 7,
  /** Water changed: three amounts, fraction, new water's nitrate mg N/L and alkalinity meq/L. */
  exchange: 8,
  /** meq/L added: one amount. */
  alkalinity: 9,
  /** The state is written down: slot is the row of the output. */
  output: 10,
  /** The share of attached capacity that stays, 0–1: one amount, for both groups (media taken out, a poison). */
  survival: 11,
} as const;

export type StopKind = keyof typeof stopKind;

/** The tank's surroundings from a day on. Oxygen in mg/L, pH on the NBS scale. */
export interface Surroundings {
  readonly temperatureC: number;
  readonly pH: number;
  readonly salinity: number;
  readonly oxygenMgL: number;
}

export interface Stop {
  readonly day: number;
  readonly kind: StopKind;
  readonly slot: number;
}

/** Compiled form: parallel arrays the kernel walks through. */
export interface Plan {
  readonly days: Float64Array;
  readonly kinds: Uint8Array;
  readonly slots: Int32Array;
  /** Per segment: rate factors of both groups, free share of ammonia, factor on decay. Shape (segments, 4). */
  readonly segments: Float64Array;
  /** Rows of output. */
  readonly outputs: number;
}

export const segmentWidth = 4;

/**
 * Rate factors of one stretch of surroundings, as the kernel reads them. They are rounded to single precision: engines
 * differ in the last bit of a power, and a fit must give the same bytes in all of them.
 */
export function segmentFactors(surroundings: Surroundings): [number, number, number, number] {
  const { temperatureC, pH, salinity, oxygenMgL } = surroundings;
  const shared = temperatureFactor(temperatureC) * pHFactor(pH);
  return [
    Math.fround(shared * oxygenFactor(oxygenMgL, oxygenHalf.ammonia)),
    Math.fround(shared * oxygenFactor(oxygenMgL, oxygenHalf.nitrite)),
    Math.fround(freeAmmoniaFraction({ pH, pHScale: 'NBS', salinity, temperatureC })),
    Math.fround(decayFactor(temperatureC)),
  ];
}

/**
 * Compiles stops, which must be in ascending order of day; those of one day are obeyed in the order given.
 * @throws RangeError where a day is not a number, lies before the previous stop or before day 0.
 */
export function compilePlan(stops: readonly Stop[], segments: readonly Surroundings[]): Plan {
  let previous = 0;
  let outputs = 0;
  for (const [index, stop] of stops.entries()) {
    if (!(stop.day >= previous))
      throw new RangeError(`stop ${index} (${stop.kind}) is at day ${stop.day}, before day ${previous}`);
    previous = stop.day;
    if (stop.kind === 'output') outputs = Math.max(outputs, stop.slot + 1);
  }
  return {
    days: Float64Array.from(stops, (stop) => stop.day),
    kinds: Uint8Array.from(stops, (stop) => stopKind[stop.kind]),
    slots: Int32Array.from(stops, (stop) => stop.slot),
    segments: Float64Array.from(segments.flatMap(segmentFactors)),
    outputs,
  };
}
