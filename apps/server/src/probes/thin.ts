/**
 * What of a probe's many values goes into the journal. Pure: the state goes in and comes out, and the same values in
 * the same order give the same entries, however they are cut into messages.
 */

/** A value as it was sent. Epoch milliseconds; the unit is that of the analyte. */
export interface Sample {
  readonly at: number;
  readonly value: number;
}

export interface ThinSettings {
  /** A change smaller than this is not written. */
  readonly deadBand: number;
  /** Unless nothing was written for so long, ms. */
  readonly longestGap: number;
  /** What the water of a tank can be; anything else is a fault of the probe or its cable. */
  readonly low: number;
  readonly high: number;
  /** A single value this far from the last one written has to be confirmed by the next. */
  readonly jump: number;
}

export interface ThinState {
  readonly written: Sample | null;
  /** Values of the last two minutes: what is written is their median. */
  readonly burst: readonly Sample[];
  /** A jump that waits to be confirmed. */
  readonly held: Sample | null;
  /** The newest value that was believed or waits to be. */
  readonly heard: number | null;
}

export const NOTHING_HEARD: ThinState = { written: null, burst: [], held: null, heard: null };

/** Why a value is kept apart: it cannot be, came out of order, is from the future, or nothing after it agreed. */
export type Why = 'impossible' | 'late' | 'clock' | 'spike';

export interface Thinned {
  readonly state: ThinState;
  /** To be written into the journal. */
  readonly written: readonly Sample[];
  readonly aside: readonly (Sample & { readonly why: Why })[];
}

const BURST = 2 * 60_000;
const MOST_IN_BURST = 61;
/** So that 25.2 differs from 25 by 0.2. */
const ROUNDING = 1e-9;
/** How far ahead a probe's clock may be, ms. */
const AHEAD = 5 * 60_000;

/** @param now the server's clock, epoch milliseconds: what claims to be later is kept apart */
export function thin(
  before: ThinState,
  samples: readonly Sample[],
  settings: ThinSettings,
  now: number,
): Thinned {
  let state = before;
  const written: Sample[] = [];
  const aside: (Sample & { why: Why })[] = [];
  for (const sample of samples) {
    const why = unfit(state, sample, settings, now);
    if (why !== undefined) {
      aside.push({ ...sample, why });
      continue;
    }
    const next = take(state, sample, settings);
    if (next.spike !== undefined) aside.push({ ...next.spike, why: 'spike' });
    if (next.write !== undefined) written.push(next.write);
    state = next.state;
  }
  return { state, written, aside };
}

function unfit({ heard }: ThinState, { at, value }: Sample, s: ThinSettings, now: number): Why | undefined {
  if (!Number.isFinite(value) || value < s.low || value > s.high) return 'impossible';
  if (at > now + AHEAD) return 'clock';
  if (heard !== null && at <= heard) return 'late';
  return undefined;
}

interface Step {
  readonly state: ThinState;
  readonly write?: Sample;
  readonly spike?: Sample;
}

function take(state: ThinState, sample: Sample, settings: ThinSettings): Step {
  const { written, held } = state;
  const far = written !== null && Math.abs(sample.value - written.value) >= settings.jump;
  const recent = written !== null && sample.at - written.at <= settings.longestGap;
  if (far && recent) {
    const agrees = held !== null && Math.abs(sample.value - held.value) < settings.jump / 2;
    if (!agrees) {
      const next: ThinState = { ...state, held: sample, heard: sample.at };
      return held === null ? { state: next } : { state: next, spike: held };
    }
    // A jump that two values agree on begins a new burst.
    return writeWhereDue({ ...state, burst: [held] }, sample, settings);
  }
  const step = writeWhereDue(state, sample, settings);
  return held === null ? step : { ...step, spike: held };
}

function writeWhereDue(state: ThinState, sample: Sample, settings: ThinSettings): Step {
  const { written } = state;
  const burst = [...state.burst.filter(({ at }) => sample.at - at <= BURST), sample].slice(-MOST_IN_BURST);
  const value = median(burst.map((one) => one.value));
  const due =
    written === null ||
    sample.at - written.at >= settings.longestGap ||
    Math.abs(value - written.value) >= settings.deadBand - ROUNDING;
  const next: ThinState = { written, burst, held: null, heard: sample.at };
  if (!due) return { state: next };
  const write = { at: sample.at, value };
  return { state: { ...next, written: write }, write };
}

/** The middle value; of an even number, the lower of the two, so that it is a value that was sent. */
function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor((sorted.length - 1) / 2)] as number;
}
