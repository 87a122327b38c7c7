import { longestFreshStep } from './limits.ts';
import { exp } from './numbers/elementary.ts';
import { type Plan, segmentWidth, stopKind } from './plan.ts';
import { biologyIndex as B } from './process/biology.ts';
import { stateIndex as S } from './process/state.ts';

/** What holds between stops, beside the state. */
const conditionNames = [
  'factorA', // rate factors of the surroundings
  'factorN',
  'freeShare', // free share of total ammonia
  'breakUp', // 1/d, at the tank's temperature
  'ammonify', // 1/d
  'vigour', // factor on all oxidation
  'load', // mg N/L/d
  'inoculated', // day the last culture went in
  'step', // d, length of the integrator's next step
  'clearSince', // day the water has been clear since; Infinity where it is not
  'readyDay',
] as const;

export const conditionIndex = Object.fromEntries(
  conditionNames.map((name, index) => [name, index]),
) as Readonly<Record<(typeof conditionNames)[number], number>>;
const C = conditionIndex;

export const conditionWidth = conditionNames.length;

/** Conditions before the first stop: 25 °C, pH 8.1, no free ammonia, no load. */
export function startConditions(conditions: Float64Array, biology: Float64Array): void {
  conditions.fill(0);
  conditions[C.factorA] = 1;
  conditions[C.factorN] = 1;
  conditions[C.breakUp] = biology[B.breakUp]!;
  conditions[C.ammonify] = biology[B.ammonify]!;
  conditions[C.vigour] = 1;
  conditions[C.clearSince] = Infinity;
  conditions[C.readyDay] = Infinity;
}

/** Does what a stop says to state and conditions; docs/science/nitrogen.md has the rules. */
export function obey(
  plan: Plan,
  stop: number,
  amounts: Float64Array,
  biology: Float64Array,
  state: Float64Array,
  conditions: Float64Array,
): void {
  const slot = plan.slots[stop]!;
  const amount = amounts[slot]!;
  switch (plan.kinds[stop]) {
    case stopKind.segment: {
      const from = slot * segmentWidth;
      const decay = plan.segments[from + 3]!;
      conditions[C.factorA] = plan.segments[from]!;
      conditions[C.factorN] = plan.segments[from + 1]!;
      conditions[C.freeShare] = plan.segments[from + 2]!;
      conditions[C.breakUp] = biology[B.breakUp]! * decay;
      conditions[C.ammonify] = biology[B.ammonify]! * decay;
      break;
    }
    case stopKind.vigour:
      conditions[C.vigour] = amount;
      break;
    case stopKind.load:
      conditions[C.load] = amount;
      break;
    case stopKind.ammonia:
      dose(state, S.ammonia, amount);
      conditions[C.clearSince] = Infinity;
      break;
    case stopKind.nitrite:
      dose(state, S.nitrite, amount);
      conditions[C.clearSince] = Infinity;
      break;
    case stopKind.nitrate:
      dose(state, S.nitrate, amount);
      break;
    case stopKind.organic:
      state[S.food] = state[S.food]! + amount;
      state[S.put] = state[S.put]! + amount;
      break;
    case stopKind.culture:
      inoculate(state, S.capacityA, S.awakeA, amount);
      inoculate(state, S.capacityN, S.awakeN, amounts[slot + 1]!);
      conditions[C.inoculated] = plan.days[stop]!;
      break;
    case stopKind.exchange: {
      const age = plan.days[stop]! - conditions[C.inoculated]!;
      const attached = 1 - amount * exp(-age / biology[B.attach]!);
      exchange(state, amount, amounts[slot + 1]!, amounts[slot + 2]!);
      scaleCapacity(state, attached);
      break;
    }
    case stopKind.alkalinity:
      state[S.alkalinity] = state[S.alkalinity]! + amount;
      break;
    case stopKind.survival:
      scaleCapacity(state, amount);
      break;
  }
  conditions[C.step] = Math.min(conditions[C.step]!, longestFreshStep);
}

function dose(state: Float64Array, name: number, amount: number): void {
  state[name] = state[name]! + amount;
  state[S.put] = state[S.put]! + amount;
  state[S.freed] = state[S.freed]! + amount;
}

/** Capacity added asleep: the awake share is diluted by it. */
function inoculate(state: Float64Array, capacity: number, awake: number, amount: number): void {
  const before = state[capacity]!;
  state[capacity] = before + amount;
  if (amount > 0) state[awake] = (state[awake]! * before) / (before + amount);
}

/** Takes a fraction of the water out, food excepted, and puts new water in. */
function exchange(state: Float64Array, fraction: number, nitrate: number, alkalinity: number): void {
  const kept = 1 - fraction;
  const dissolved = state[S.ammonia]! + state[S.nitrite]! + state[S.nitrate]! + state[S.dissolved]!;
  state[S.removed] = state[S.removed]! + fraction * dissolved;
  state[S.ammonia] = kept * state[S.ammonia]!;
  state[S.nitrite] = kept * state[S.nitrite]!;
  state[S.dissolved] = kept * state[S.dissolved]!;
  state[S.nitrate] = kept * state[S.nitrate]! + fraction * nitrate;
  state[S.put] = state[S.put]! + fraction * nitrate;
  state[S.alkalinity] = kept * state[S.alkalinity]! + fraction * alkalinity;
}

function scaleCapacity(state: Float64Array, share: number): void {
  state[S.capacityA] = share * state[S.capacityA]!;
  state[S.capacityN] = share * state[S.capacityN]!;
}
