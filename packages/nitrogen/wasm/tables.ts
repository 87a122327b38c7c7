/** Where the four particles at work are kept: tables of vectors, a lane each. */

// Order of the constants of a biology and of the quantities of a row: ../src/process.
export const GROWTH_A = 0;
export const GROWTH_N = 1;
export const HALF_A = 2;
export const HALF_N = 3;
export const SELF_A = 4;
export const SELF_N = 5;
export const FREE_AMMONIA_N = 6;
export const CEILING_A = 7;
export const CEILING_N = 8;
export const LOSS_A = 9;
export const LOSS_N = 10;
export const WAKE_A = 11;
export const WAKE_N = 12;
export const BREAK_UP = 13;
export const AMMONIFY = 14;
export const MINERALISED = 15;
export const ALGAE = 16;
export const DENITRIFY = 17;
export const ARRIVING = 18;
export const HALF_ALKALINITY = 19;
export const ATTACH = 20;
export const BIOLOGY_WIDTH = 21;

export const AMMONIA = 0;
export const NITRITE = 1;
export const NITRATE = 2;
export const FOOD = 3;
export const DISSOLVED = 4;
export const CAPACITY_A = 5;
export const CAPACITY_N = 6;
export const AWAKE_A = 7;
export const AWAKE_N = 8;
export const ALKALINITY = 9;
export const BOUND = 10;
export const LOST = 11;
export const REMOVED = 12;
export const PUT = 13;
export const FREED = 14;
export const STATE_WIDTH = 15;

/** Later than any day: not yet. */
export const NEVER: f64 = 1e10;

/** What the four particles are like, and where they stand. */
export const biology = memory.data(16 * BIOLOGY_WIDTH, 16);
export const state = memory.data(16 * STATE_WIDTH, 16);

/** What the rates need of biology and surroundings, worked out where these change. */
export const tank = memory.data(16 * 9, 16);
export const PACE_A = 0;
export const PACE_N = 1;
export const CAPPED_A = 2;
export const CAPPED_N = 3;
export const PER_CEILING_A = 4;
export const PER_CEILING_N = 5;
export const PER_WAKE_A = 6;
export const PER_WAKE_N = 7;
export const LONGEST = 8;

/**
 * What lives no longer than a call of `advance`: the four tables that follow. It is not put back when the call ends
 * (tools/build-kernel.mjs).
 */
export const passing = memory.data(16 * 39, 16);
export const passingEnd = passing + 16 * 39;

/** The place the rates are looked at: the first ten quantities of a state, and nitrate loss, 1/d. */
export const place = passing;
export const NITRATE_LOSS = 10;

/**
 * Rates of the processes at that place and how fast traces decay there, weighted sums of the first in the step, and the rates
 * that the step began with.
 */
export const rates = passing + 16 * 11;
export const sums = passing + 16 * 21;
export const firstRates = memory.data(16 * 10, 16);
export const BROKEN = 0;
export const FREEING = 1;
export const OXIDISED_A = 2;
export const OXIDISED_N = 3;
export const TAKEN = 4;
export const GONE = 5;
export const GROWING_A = 6;
export const GROWING_N = 7;
/** How fast a trace of ammonia, or nitrite, is used up, 1/d. */
export const DECAYING_A = 8;
export const DECAYING_N = 9;

/**
 * How a step follows ammonia and nitrite: how much of a trace decays in it, 0 where that is too little to matter; the share of its
 * rise, as the step begins with it, that a level has risen by the middle; and what the rises at the beginning, in the middle
 * and at the end weigh.
 */
export const follow = passing + 16 * 29;
export const DECAY_A = 0;
export const DECAY_N = 1;
export const LEAD_A = 2;
export const LEAD_N = 3;
export const FIRST_WEIGHT_A = 4;
export const FIRST_WEIGHT_N = 5;
export const MIDDLE_WEIGHT_A = 6;
export const MIDDLE_WEIGHT_N = 7;
export const LAST_WEIGHT_A = 8;
export const LAST_WEIGHT_N = 9;

/** What holds between stops, beside the state. */
export const CONDITIONS_WIDTH = 16;
export const conditions = memory.data(16 * CONDITIONS_WIDTH, 16);
export const FACTOR_A = 0;
export const FACTOR_N = 1;
export const FREE_RATIO = 2;
export const BROKEN_UP = 3;
export const AMMONIFIED = 4;
export const VIGOUR = 5;
export const LOAD = 6;
export const INOCULATED = 7;
export const STEP = 8;
export const CLEAR_SINCE = 9;
export const READY_DAY = 10;
export const EVALUATIONS = 11;
/** Day of the last stop, days from it to the next, and days still left of them. */
export const FROM = 12;
export const STRETCH = 13;
export const LEFT = 14;
/** 1 where a stop has changed something, so that the kept rates do not hold. */
export const FRESH = 15;

/** Why a lane gave up: 0 where it has not, 1 for the work limit, 2 for what is not a number. */
export const outcome = memory.data(16, 16);

export function get(table: usize, index: i32): v128 {
  return v128.load(table + 16 * index);
}
export function set(table: usize, index: i32, value: v128): void {
  v128.store(table + 16 * index, value);
}
/** One lane's number. */
export function at(table: usize, index: i32, lane: i32): f32 {
  return load<f32>(table + 16 * index + 4 * lane);
}
export function put(table: usize, index: i32, lane: i32, value: f32): void {
  store<f32>(table + 16 * index + 4 * lane, value);
}
