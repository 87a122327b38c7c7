import { clearLevel, leastAsleep, leastFreed, leastLevel, shortestStep, stayClear } from '../src/limits.ts';
import {
  alkalinityPerAmmoniaN,
  alkalinityPerMineralisedN,
  passedOnToNitrate,
  passedOnToNitrite,
} from '../src/process/stoichiometry.ts';
import { above, add, all, div, fading, least, most, mul, only, pick, roughFourthRoot, sub } from './lanes.ts';
import { knowTank, look, nitrateLossOn, slopeOfAmmonia, slopeOfNitrite } from './rates.ts';
import {
  ALKALINITY,
  AMMONIA,
  AWAKE_A,
  AWAKE_N,
  BOUND,
  BROKEN,
  biology,
  CAPACITY_A,
  CAPACITY_N,
  CLEAR_SINCE,
  conditions,
  DISSOLVED,
  EVALUATIONS,
  FOOD,
  FREED,
  FREEING,
  FRESH,
  FROM,
  firstRates,
  GONE,
  GROWING_A,
  GROWING_N,
  get,
  LEFT,
  LOAD,
  LONGEST,
  LOST,
  MINERALISED,
  NEVER,
  NITRATE,
  NITRATE_LOSS,
  NITRITE,
  OXIDISED_A,
  OXIDISED_N,
  outcome,
  PER_WAKE_A,
  PER_WAKE_N,
  place,
  READY_DAY,
  rates,
  STEP,
  STRETCH,
  set,
  state,
  sums,
  TAKEN,
  tank,
} from './tables.ts';

/** Alkalinity used by ammonia oxidised, meq per mg N, the share that becomes cells left out. */
const ALKALINITY_PER_OXIDISED: f64 = alkalinityPerAmmoniaN * passedOnToNitrite;

/**
 * Takes steps until a lane has come to its next stop or has given up. All it calls stands in it once compiled, and what it
 * keeps in tables is held in locals meanwhile (tools/support/hold-in-locals.mjs): no table is gone through by a loop here.
 */
export function advance(tolerance: v128, mostEvaluations: v128): void {
  const changed = f32x4.gt(get(conditions, FRESH), all(0));
  if (v128.any_true(changed)) lookAfresh(changed);
  while (!takeStep(tolerance, mostEvaluations)) {}
}

/** Day the lanes stand at. */
function today(): v128 {
  return add(get(conditions, FROM), sub(get(conditions, STRETCH), get(conditions, LEFT)));
}

/** Looks at the rates anew in lanes where a stop has changed something. */
function lookAfresh(changed: v128): void {
  knowTank();
  set(place, NITRATE_LOSS, nitrateLossOn(today()));
  set(place, AMMONIA, get(state, AMMONIA));
  set(place, NITRITE, get(state, NITRITE));
  set(place, NITRATE, get(state, NITRATE));
  set(place, FOOD, get(state, FOOD));
  set(place, DISSOLVED, get(state, DISSOLVED));
  set(place, CAPACITY_A, get(state, CAPACITY_A));
  set(place, CAPACITY_N, get(state, CAPACITY_N));
  set(place, AWAKE_A, get(state, AWAKE_A));
  set(place, AWAKE_N, get(state, AWAKE_N));
  set(place, ALKALINITY, get(state, ALKALINITY));
  look();
  keepRates(changed);
  set(conditions, EVALUATIONS, add(get(conditions, EVALUATIONS), only(changed, all(1))));
  set(conditions, FRESH, all(0));
}

/** Adds a rate to its sum with weight two, or begins the sum with it. */
function tally(index: i32, first: bool): void {
  const rate = get(rates, index);
  set(sums, index, first ? rate : add(get(sums, index), add(rate, rate)));
}

/** A stage of the step: from the state along the last rates, where the rates are looked at again. */
function stage(reach: v128, asleepA: v128, asleepN: v128, first: bool): void {
  const none = all(0);
  const one = all(1);
  tally(BROKEN, first);
  tally(FREEING, first);
  tally(OXIDISED_A, first);
  tally(OXIDISED_N, first);
  tally(TAKEN, first);
  tally(GONE, first);
  tally(GROWING_A, first);
  tally(GROWING_N, first);
  const broken = get(rates, BROKEN);
  const freeing = get(rates, FREEING);
  const toNitrate = mul(get(rates, OXIDISED_N), all(passedOnToNitrate));
  const toAlkalinity = mul(freeing, all(alkalinityPerMineralisedN));
  const fromAlkalinity = mul(get(rates, OXIDISED_A), all(ALKALINITY_PER_OXIDISED));
  // A stage may overshoot zero; the rate laws are only meant for what can exist.
  set(place, AMMONIA, most(none, add(get(state, AMMONIA), mul(reach, slopeOfAmmonia()))));
  set(place, NITRITE, most(none, add(get(state, NITRITE), mul(reach, slopeOfNitrite()))));
  set(place, NITRATE, most(none, add(get(state, NITRATE), mul(reach, sub(toNitrate, get(rates, GONE))))));
  set(place, FOOD, sub(get(state, FOOD), mul(reach, broken)));
  const dissolving = sub(mul(get(biology, MINERALISED), broken), freeing);
  set(place, DISSOLVED, add(get(state, DISSOLVED), mul(reach, dissolving)));
  set(place, CAPACITY_A, add(get(state, CAPACITY_A), mul(reach, get(rates, GROWING_A))));
  set(place, CAPACITY_N, add(get(state, CAPACITY_N), mul(reach, get(rates, GROWING_N))));
  set(
    place,
    ALKALINITY,
    most(none, add(get(state, ALKALINITY), mul(reach, sub(toAlkalinity, fromAlkalinity)))),
  );
  set(place, AWAKE_A, sub(one, asleepA));
  set(place, AWAKE_N, sub(one, asleepN));
  look();
}

/** Keeps a quantity of the place as the state where the mask is set. */
function keepPlace(index: i32, mask: v128): void {
  set(state, index, pick(mask, get(place, index), get(state, index)));
}

/** Keeps a rate where the mask is set, else brings back the one the step began with. */
function keepRate(index: i32, mask: v128): void {
  const rate = pick(mask, get(rates, index), get(firstRates, index));
  set(rates, index, rate);
  set(firstRates, index, rate);
}

/** Keeps all rates where the mask is set. */
function keepRates(mask: v128): void {
  keepRate(BROKEN, mask);
  keepRate(FREEING, mask);
  keepRate(OXIDISED_A, mask);
  keepRate(OXIDISED_N, mask);
  keepRate(TAKEN, mask);
  keepRate(GONE, mask);
  keepRate(GROWING_A, mask);
  keepRate(GROWING_N, mask);
}

/** What a process did in a step whose sixth is given. */
function done(index: i32, sixth: v128): v128 {
  return mul(sixth, add(get(sums, index), get(rates, index)));
}

/**
 * One step in every lane: classical fourth-order Runge–Kutta, the error measured against the embedded third-order
 * formula whose last slope is the next step's first (h/6·(k4 − k5)). True where a lane has arrived or has given up.
 */
function takeStep(tolerance: v128, mostEvaluations: v128): bool {
  const none = all(0);
  const one = all(1);
  const step = get(conditions, STEP);
  const left = get(conditions, LEFT);
  const h = least(step, left);
  const half = mul(h, all(0.5));
  const day = today();

  const asleepA = sub(one, get(state, AWAKE_A));
  const asleepN = sub(one, get(state, AWAKE_N));
  const sleepingA = f32x4.gt(asleepA, all(leastAsleep));
  const sleepingN = f32x4.gt(asleepN, all(leastAsleep));
  let halfSleepA = none;
  let halfSleepN = none;
  let endSleepA = none;
  let endSleepN = none;
  if (v128.any_true(v128.or(sleepingA, sleepingN))) {
    const fadeA = only(sleepingA, fading(mul(half, get(tank, PER_WAKE_A))));
    const fadeN = only(sleepingN, fading(mul(half, get(tank, PER_WAKE_N))));
    halfSleepA = mul(asleepA, fadeA);
    halfSleepN = mul(asleepN, fadeN);
    endSleepA = mul(halfSleepA, fadeA);
    endSleepN = mul(halfSleepN, fadeN);
  }
  set(place, NITRATE_LOSS, nitrateLossOn(add(day, half)));
  stage(half, halfSleepA, halfSleepN, true);
  stage(half, halfSleepA, halfSleepN, false);
  set(place, NITRATE_LOSS, nitrateLossOn(add(day, h)));
  stage(h, endSleepA, endSleepN, false);

  const lastA = slopeOfAmmonia();
  const lastN = slopeOfNitrite();
  const lastGrowingA = get(rates, GROWING_A);
  const lastGrowingN = get(rates, GROWING_N);
  const sixth = mul(h, all(1.0 / 6));
  const sumBroken = done(BROKEN, sixth);
  const sumFreeing = done(FREEING, sixth);
  const gained = add(sumFreeing, mul(h, get(conditions, LOAD)));
  let sumA = done(OXIDISED_A, sixth);
  let sumN = done(OXIDISED_N, sixth);
  let sumTaken = done(TAKEN, sixth);
  let sumGone = done(GONE, sixth);
  // No more can leave than is there.
  const yA = get(state, AMMONIA);
  const yN = get(state, NITRITE);
  const thereA = add(yA, gained);
  const leaving = add(sumA, sumTaken);
  const overA = sub(leaving, thereA);
  const overdrawn = f32x4.gt(overA, none);
  if (v128.any_true(overdrawn)) {
    const share = pick(overdrawn, div(thereA, leaving), one);
    sumA = mul(sumA, share);
    sumTaken = mul(sumTaken, share);
  }
  const a = above(leastLevel, sub(none, overA));
  const thereN = add(yN, mul(sumA, all(passedOnToNitrite)));
  const overN = sub(sumN, thereN);
  sumN = least(sumN, thereN);
  const n = above(leastLevel, sub(thereN, sumN));
  const thereX = add(get(state, NITRATE), mul(sumN, all(passedOnToNitrate)));
  const overX = sub(sumGone, thereX);
  sumGone = least(sumGone, thereX);
  const qa = add(get(state, CAPACITY_A), done(GROWING_A, sixth));
  const qn = add(get(state, CAPACITY_N), done(GROWING_N, sixth));
  const k = sub(
    add(get(state, ALKALINITY), mul(sumFreeing, all(alkalinityPerMineralisedN))),
    mul(sumA, all(ALKALINITY_PER_OXIDISED)),
  );
  const over = most(most(overA, overN), most(overX, sub(none, k)));
  const mineralised = mul(get(biology, MINERALISED), sumBroken);
  set(place, AMMONIA, a);
  set(place, NITRITE, n);
  set(place, NITRATE, sub(thereX, sumGone));
  set(place, FOOD, above(leastLevel, sub(get(state, FOOD), sumBroken)));
  set(place, DISSOLVED, above(leastLevel, sub(add(get(state, DISSOLVED), mineralised), sumFreeing)));
  set(place, CAPACITY_A, qa);
  set(place, CAPACITY_N, qn);
  set(place, ALKALINITY, above(leastLevel, k));
  set(place, AWAKE_A, sub(one, endSleepA));
  set(place, AWAKE_N, sub(one, endSleepN));
  look();

  const offA = f32x4.abs(sub(lastA, slopeOfAmmonia()));
  const offN = f32x4.abs(sub(lastN, slopeOfNitrite()));
  const offGrowingA = f32x4.abs(sub(lastGrowingA, get(rates, GROWING_A)));
  const offGrowingN = f32x4.abs(sub(lastGrowingN, get(rates, GROWING_N)));
  const levels = add(add(one, a), n);
  const capacities = add(add(one, qa), qn);
  const off = most(mul(capacities, most(offA, offN)), mul(levels, most(offGrowingA, offGrowingN)));
  // Error allowed over error made.
  const room = div(mul(mul(tolerance, all(6)), mul(levels, capacities)), add(mul(h, off), all(1e-30)));
  const cutTooMuch = f32x4.gt(over, tolerance);
  const good = v128.andnot(f32x4.ge(room, one), cutTooMuch);
  const change = least(mul(roughFourthRoot(room), all(0.9)), all(4));
  const grown = least(mul(h, most(change, all(0.3))), get(tank, LONGEST));
  const shrunk = mul(h, pick(cutTooMuch, all(0.5), most(change, all(0.2))));
  // A step cut short by a stop says little about the next.
  const telling = v128.or(f32x4.ge(h, step), f32x4.lt(room, all(10)));
  set(conditions, STEP, pick(good, pick(telling, grown, step), shrunk));

  const freed = add(get(state, FREED), gained);
  const clear = v128.and(f32x4.lt(most(a, n), all(clearLevel)), f32x4.ge(freed, all(leastFreed)));
  watchClearing(good, clear, day, h, most(yA, yN), most(a, n));

  const intoCells = add(mul(sumA, all(1 - passedOnToNitrite)), mul(sumN, all(1 - passedOnToNitrate)));
  const intoFlocs = sub(sumBroken, mineralised);
  set(state, BOUND, add(get(state, BOUND), only(good, add(intoCells, intoFlocs))));
  set(state, LOST, add(get(state, LOST), only(good, add(sumTaken, sumGone))));
  set(state, FREED, pick(good, freed, get(state, FREED)));
  keepPlace(AMMONIA, good);
  keepPlace(NITRITE, good);
  keepPlace(NITRATE, good);
  keepPlace(FOOD, good);
  keepPlace(DISSOLVED, good);
  keepPlace(CAPACITY_A, good);
  keepPlace(CAPACITY_N, good);
  keepPlace(AWAKE_A, good);
  keepPlace(AWAKE_N, good);
  keepPlace(ALKALINITY, good);
  keepRates(good);
  const stillLeft = sub(left, only(good, h));
  set(conditions, LEFT, stillLeft);

  const evaluations = add(get(conditions, EVALUATIONS), all(4));
  set(conditions, EVALUATIONS, evaluations);
  const astray = v128.not(f32x4.gt(room, none));
  const stalled = v128.andnot(v128.or(astray, f32x4.le(h, all(shortestStep))), good);
  const stuck = v128.or(f32x4.gt(evaluations, mostEvaluations), stalled);
  if (!v128.any_true(v128.or(stuck, f32x4.le(stillLeft, none)))) return false;
  v128.store(outcome, only(stuck, pick(astray, all(2), one)));
  return true;
}

/** Keeps the day the water has been clear since, and the first such day after which it stayed clear. */
function watchClearing(good: v128, clear: v128, day: v128, h: v128, before: v128, after: v128): void {
  const since = get(conditions, CLEAR_SINCE);
  const clearing = v128.and(clear, good);
  let begun = since;
  if (v128.any_true(clearing)) {
    const ready = get(conditions, READY_DAY);
    const fallen = div(sub(before, all(clearLevel)), sub(before, after));
    const crossing = add(day, only(f32x4.gt(before, all(clearLevel)), mul(h, fallen)));
    begun = pick(v128.andnot(clearing, f32x4.le(since, day)), crossing, since);
    const stayed = f32x4.ge(sub(add(day, h), begun), all(stayClear));
    const first = v128.and(v128.and(clearing, stayed), f32x4.eq(ready, all(NEVER)));
    set(conditions, READY_DAY, pick(first, begun, ready));
  }
  set(conditions, CLEAR_SINCE, pick(v128.andnot(good, clear), all(NEVER), begun));
}
