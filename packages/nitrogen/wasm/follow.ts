import { leastDecay } from '../src/limits.ts';
import { add, all, div, fading, mul, only, pick, sub } from './lanes.ts';
import {
  DECAY_A,
  DECAYING_A,
  FIRST_WEIGHT_A,
  firstRates,
  follow,
  get,
  LAST_WEIGHT_A,
  LEAD_A,
  MIDDLE_WEIGHT_A,
  set,
} from './tables.ts';

/**
 * Chooses how a step of length h follows a level, 0 for ammonia and 1 for nitrite: plainly, or along the decay of a trace in the
 * lanes where much of it is used up.
 */
export function chooseCourse(which: i32, h: v128): void {
  const traced = mul(h, get(firstRates, DECAYING_A + which));
  const follows = f32x4.ge(traced, all(leastDecay));
  const decay = only(follows, traced);
  set(follow, DECAY_A + which, decay);
  set(follow, LEAD_A + which, all(0.5));
  set(follow, FIRST_WEIGHT_A + which, all(1.0 / 6));
  set(follow, MIDDLE_WEIGHT_A + which, all(1.0 / 3));
  set(follow, LAST_WEIGHT_A + which, all(1.0 / 6));
  if (v128.any_true(follows)) alongDecay(which, decay, follows);
}

function alongDecay(which: i32, decay: v128, follows: v128): void {
  const one = all(1);
  const half = all(0.5);
  const per = div(one, decay);
  const faded = fading(mul(half, decay));
  const lead = mul(sub(one, faded), per);
  const whole = mul(lead, add(one, faded));
  const lagging = mul(sub(one, whole), per);
  const curved = mul(sub(half, lagging), per);
  const bent = sub(mul(all(4), curved), lagging);
  const twice = add(lagging, lagging);
  weigh(follows, LEAD_A + which, lead);
  weigh(follows, FIRST_WEIGHT_A + which, add(sub(whole, twice), bent));
  weigh(follows, MIDDLE_WEIGHT_A + which, sub(twice, mul(all(4), curved)));
  weigh(follows, LAST_WEIGHT_A + which, bent);
}

function weigh(follows: v128, index: i32, weight: v128): void {
  set(follow, index, pick(follows, weight, get(follow, index)));
}
