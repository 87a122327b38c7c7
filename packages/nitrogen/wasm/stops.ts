import { longestFreshStep } from '../src/limits.ts';
import {
  ALKALINITY,
  AMMONIA,
  AMMONIFIED,
  AMMONIFY,
  ATTACH,
  AWAKE_A,
  AWAKE_N,
  at,
  BREAK_UP,
  BROKEN_UP,
  biology,
  CAPACITY_A,
  CAPACITY_N,
  CLEAR_SINCE,
  conditions,
  DISSOLVED,
  FACTOR_A,
  FACTOR_N,
  FOOD,
  FREE_AMMONIA_N,
  FREE_RATIO,
  FREED,
  FRESH,
  INOCULATED,
  LOAD,
  NEVER,
  NITRATE,
  NITRITE,
  PUT,
  put,
  REMOVED,
  STEP,
  state,
  VIGOUR,
} from './tables.ts';

/** Adds to one quantity of a lane's state. */
function gain(index: i32, lane: i32, amount: f32): void {
  put(state, index, lane, at(state, index, lane) + amount);
}

/** Multiplies one quantity of a lane's state. */
function scale(index: i32, lane: i32, share: f32): void {
  put(state, index, lane, at(state, index, lane) * share);
}

function dose(index: i32, lane: i32, amount: f32): void {
  gain(index, lane, amount);
  gain(PUT, lane, amount);
  gain(FREED, lane, amount);
}

/** Capacity added asleep: the awake share is diluted by it. */
function inoculate(capacity: i32, awake: i32, lane: i32, amount: f32): void {
  const before = at(state, capacity, lane);
  gain(capacity, lane, amount);
  if (amount > 0) scale(awake, lane, before / (before + amount));
}

/** Takes a fraction of the water out, food excepted, and puts new water in. */
function exchange(lane: i32, fraction: f32, nitrate: f32, alkalinity: f32): void {
  const kept = f32(1) - fraction;
  const dissolved =
    at(state, AMMONIA, lane) +
    at(state, NITRITE, lane) +
    at(state, NITRATE, lane) +
    at(state, DISSOLVED, lane);
  gain(REMOVED, lane, fraction * dissolved);
  scale(AMMONIA, lane, kept);
  scale(NITRITE, lane, kept);
  scale(DISSOLVED, lane, kept);
  scale(NITRATE, lane, kept);
  gain(NITRATE, lane, fraction * nitrate);
  gain(PUT, lane, fraction * nitrate);
  scale(ALKALINITY, lane, kept);
  gain(ALKALINITY, lane, fraction * alkalinity);
}

function scaleCapacity(lane: i32, share: f32): void {
  scale(CAPACITY_A, lane, share);
  scale(CAPACITY_N, lane, share);
}

/** One of a stop's amounts. */
function amount(amounts: usize, index: i32): f32 {
  return f32(load<f64>(amounts + 8 * index));
}

/** Does what a stop of a kind says (../src/plan.ts) to a lane. `amounts`: from the stop's own on. */
export function obey(kind: i32, lane: i32, day: f32, amounts: usize): void {
  const first = amount(amounts, 0);
  switch (kind) {
    case 1:
      put(conditions, VIGOUR, lane, first);
      break;
    case 2:
      put(conditions, LOAD, lane, first);
      break;
    case 3:
      dose(AMMONIA, lane, first);
      put(conditions, CLEAR_SINCE, lane, f32(NEVER));
      break;
    case 4:
      dose(NITRITE, lane, first);
      put(conditions, CLEAR_SINCE, lane, f32(NEVER));
      break;
    case 5:
      dose(NITRATE, lane, first);
      break;
    case 6:
      gain(FOOD, lane, first);
      gain(PUT, lane, first);
      break;
    case 7:
      inoculate(CAPACITY_A, AWAKE_A, lane, first);
      inoculate(CAPACITY_N, AWAKE_N, lane, amount(amounts, 1));
      put(conditions, INOCULATED, lane, day);
      break;
    case 8: {
      const age = day - at(conditions, INOCULATED, lane);
      exchange(lane, first, amount(amounts, 1), amount(amounts, 2));
      scaleCapacity(lane, f32(1) - first * NativeMathf.exp(-age / at(biology, ATTACH, lane)));
      break;
    }
    case 9:
      gain(ALKALINITY, lane, first);
      break;
    case 11:
      scaleCapacity(lane, first);
      break;
  }
  startAfresh(lane);
}

/** New surroundings: four factors of a segment. */
export function surround(lane: i32, segment: usize): void {
  const decay = amount(segment, 3);
  put(conditions, FACTOR_A, lane, amount(segment, 0));
  put(conditions, FACTOR_N, lane, amount(segment, 1));
  put(conditions, FREE_RATIO, lane, amount(segment, 2) / at(biology, FREE_AMMONIA_N, lane));
  put(conditions, BROKEN_UP, lane, decay * at(biology, BREAK_UP, lane));
  put(conditions, AMMONIFIED, lane, decay * at(biology, AMMONIFY, lane));
  startAfresh(lane);
}

function startAfresh(lane: i32): void {
  put(conditions, FRESH, lane, 1);
  put(conditions, STEP, lane, min<f32>(at(conditions, STEP, lane), f32(longestFreshStep)));
}
