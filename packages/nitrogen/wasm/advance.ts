import { clearLevel, leastAsleep, leastFreed, leastLevel, shortestStep, stayClear } from '../src/limits.ts';
import {
  alkalinityPerAmmoniaN,
  alkalinityPerMineralisedN,
  passedOnToNitrate,
  passedOnToNitrite,
} from '../src/process/stoichiometry.ts';
import { crossing } from './crossing.ts';
import { chooseCourse } from './follow.ts';
import {
  above,
  add,
  all,
  div,
  fading,
  least,
  most,
  mul,
  only,
  pick,
  roughFourthRootOf,
  sub,
} from './lanes.ts';
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
  DECAY_A,
  DECAY_N,
  DECAYING_A,
  DECAYING_N,
  DISSOLVED,
  EVALUATIONS,
  FIRST_WEIGHT_A,
  FOOD,
  FREED,
  FREEING,
  FRESH,
  FROM,
  firstRates,
  follow,
  GONE,
  GROWING_A,
  GROWING_N,
  get,
  LAST_WEIGHT_A,
  LAST_WEIGHT_N,
  LEAD_A,
  LEAD_N,
  LEFT,
  LOAD,
  LONGEST,
  LOST,
  MIDDLE_WEIGHT_A,
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
 * Takes steps until a lane has come to its next stop or has given up; returns the lanes that may have, a bit each. All it
 * calls stands in it once compiled, and what it keeps in tables is held in locals meanwhile (tools/support/hold-in-locals.mjs):
 * no table is gone through by a loop here.
 */
export function advance(tolerance: v128, mostEvaluations: v128): i32 {
  bringBackRates();
  const changed = f32x4.gt(get(conditions, FRESH), all(0));
  if (v128.any_true(changed)) lookAfresh(changed);
  let arriving = 0;
  while (arriving === 0) arriving = takeStep(tolerance, mostEvaluations);
  return arriving;
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

/** A stage of the step: from the state along the last rates to levels of ammonia and nitrite, where the rates are looked at again. */
function stage(reach: v128, asleepA: v128, asleepN: v128, ammonia: v128, nitrite: v128, first: bool): void {
  const none = all(0);
  const one = all(1);
  tally(BROKEN, first);
  tally(FREEING, first);
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
  set(place, AMMONIA, most(none, ammonia));
  set(place, NITRITE, most(none, nitrite));
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

/** Brings back the rates the next step begins with. */
function bringBackRates(): void {
  set(rates, BROKEN, get(firstRates, BROKEN));
  set(rates, FREEING, get(firstRates, FREEING));
  set(rates, OXIDISED_A, get(firstRates, OXIDISED_A));
  set(rates, OXIDISED_N, get(firstRates, OXIDISED_N));
  set(rates, TAKEN, get(firstRates, TAKEN));
  set(rates, GONE, get(firstRates, GONE));
  set(rates, GROWING_A, get(firstRates, GROWING_A));
  set(rates, GROWING_N, get(firstRates, GROWING_N));
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
  keepRate(DECAYING_A, mask);
  keepRate(DECAYING_N, mask);
}

/** Rise of ammonia in a step by its slope at the place, what its decay leaves of it. */
function riseOfAmmonia(h: v128): v128 {
  const away = sub(get(place, AMMONIA), get(state, AMMONIA));
  return add(mul(h, slopeOfAmmonia()), mul(get(follow, DECAY_A), away));
}

/** The same of nitrite. */
function riseOfNitrite(h: v128): v128 {
  const away = sub(get(place, NITRITE), get(state, NITRITE));
  return add(mul(h, slopeOfNitrite()), mul(get(follow, DECAY_N), away));
}

/** Level at the end by the rise in the middle, from the level first found there. */
function levelAtEnd(which: i32, from: v128, middle: v128, first: v128, rise: v128): v128 {
  const back = mul(get(follow, DECAY_A + which), sub(middle, from));
  return add(middle, mul(get(follow, LEAD_A + which), sub(add(rise, rise), add(first, back))));
}

/** Change of a level in the step by its rises at the beginning, twice in the middle, and at the end. */
function changeOf(which: i32, first: v128, middles: v128, last: v128): v128 {
  const early = mul(get(follow, FIRST_WEIGHT_A + which), first);
  const late = mul(get(follow, LAST_WEIGHT_A + which), last);
  return add(add(early, late), mul(get(follow, MIDDLE_WEIGHT_A + which), middles));
}

/** What a process did in a step whose sixth is given. */
function done(index: i32, sixth: v128): v128 {
  return mul(sixth, add(get(sums, index), get(rates, index)));
}

/**
 * One step in every lane, as `advance` of ../src/kernel.ts has it: fourth-order Runge–Kutta, along their decay where ammonia
 * or nitrite are used up faster than the step is long. Returns the lanes, a bit each, that have given up or whose step went as far
 * as the next stop: known as the step begins, so that the processor need not wait for its end to know what follows.
 */
function takeStep(tolerance: v128, mostEvaluations: v128): i32 {
  const none = all(0);
  const one = all(1);
  const step = get(conditions, STEP);
  const left = get(conditions, LEFT);
  const h = least(step, left);
  const arriving = i32x4.bitmask(f32x4.ge(step, left));
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
  chooseCourse(0, h);
  chooseCourse(1, h);
  const yA = get(state, AMMONIA);
  const yN = get(state, NITRITE);
  const leadA = get(follow, LEAD_A);
  const leadN = get(follow, LEAD_N);
  const firstA = mul(h, slopeOfAmmonia());
  const firstN = mul(h, slopeOfNitrite());
  set(place, NITRATE_LOSS, nitrateLossOn(add(day, half)));
  const nearA = add(yA, mul(leadA, firstA));
  const nearN = add(yN, mul(leadN, firstN));
  stage(half, halfSleepA, halfSleepN, nearA, nearN, true);
  const middleA = get(place, AMMONIA);
  const middleN = get(place, NITRITE);
  const secondA = riseOfAmmonia(h);
  const secondN = riseOfNitrite(h);
  const againA = add(yA, mul(leadA, secondA));
  const againN = add(yN, mul(leadN, secondN));
  stage(half, halfSleepA, halfSleepN, againA, againN, false);
  const thirdA = riseOfAmmonia(h);
  const thirdN = riseOfNitrite(h);
  set(place, NITRATE_LOSS, nitrateLossOn(add(day, h)));
  const farA = levelAtEnd(0, yA, middleA, firstA, thirdA);
  const farN = levelAtEnd(1, yN, middleN, firstN, thirdN);
  stage(h, endSleepA, endSleepN, farA, farN, false);

  const lastA = riseOfAmmonia(h);
  const lastN = riseOfNitrite(h);
  const lastGrowingA = get(rates, GROWING_A);
  const lastGrowingN = get(rates, GROWING_N);
  const sixth = mul(h, all(1.0 / 6));
  const sumBroken = done(BROKEN, sixth);
  const sumFreeing = done(FREEING, sixth);
  const gained = add(sumFreeing, mul(h, get(conditions, LOAD)));
  let sumTaken = done(TAKEN, sixth);
  let sumGone = done(GONE, sixth);
  const changeA = changeOf(0, firstA, add(secondA, thirdA), lastA);
  const changeN = changeOf(1, firstN, add(secondN, thirdN), lastN);
  let sumA = most(none, sub(sub(gained, sumTaken), changeA));
  // No more can leave than is there.
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
  const passedOn = mul(sumA, all(passedOnToNitrite));
  let sumN = most(none, sub(passedOn, changeN));
  const thereN = add(yN, passedOn);
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

  const offA = mul(get(follow, LAST_WEIGHT_A), f32x4.abs(sub(lastA, riseOfAmmonia(h))));
  const offN = mul(get(follow, LAST_WEIGHT_N), f32x4.abs(sub(lastN, riseOfNitrite(h))));
  const offGrowingA = mul(sixth, f32x4.abs(sub(lastGrowingA, get(rates, GROWING_A))));
  const offGrowingN = mul(sixth, f32x4.abs(sub(lastGrowingN, get(rates, GROWING_N))));
  const levels = add(add(one, a), n);
  const capacities = add(add(one, qa), qn);
  const off = most(mul(capacities, most(offA, offN)), mul(levels, most(offGrowingA, offGrowingN)));
  const allowed = mul(tolerance, mul(levels, capacities));
  const cutTooMuch = f32x4.gt(over, tolerance);
  const good = v128.andnot(f32x4.ge(allowed, off), cutTooMuch);
  const next = mul(roughFourthRootOf(allowed, off), mul(h, all(0.9)));
  const longest = least(mul(h, all(4)), get(tank, LONGEST));
  const grown = least(most(next, mul(h, all(0.3))), longest);
  const shrunk = pick(cutTooMuch, half, most(next, mul(h, all(0.2))));
  // A step cut short by a stop says little about the next.
  const telling = v128.or(f32x4.ge(h, step), f32x4.lt(allowed, mul(off, all(10))));
  set(conditions, STEP, pick(good, pick(telling, grown, step), shrunk));

  const freed = add(get(state, FREED), gained);
  const clear = v128.and(f32x4.lt(most(a, n), all(clearLevel)), f32x4.ge(freed, all(leastFreed)));
  const clearing = v128.and(clear, good);
  const begins = v128.andnot(clearing, f32x4.le(get(conditions, CLEAR_SINCE), day));
  let since = day;
  if (v128.any_true(begins)) {
    const crossedA = crossing(yA, firstA, a, mul(h, slopeOfAmmonia()));
    const crossedN = crossing(yN, firstN, n, mul(h, slopeOfNitrite()));
    since = add(day, mul(h, most(crossedA, crossedN)));
  }
  set(conditions, CLEAR_SINCE, pick(begins, since, get(conditions, CLEAR_SINCE)));
  if (v128.any_true(clearing)) watchClearing(clearing, add(day, h));
  set(conditions, CLEAR_SINCE, pick(v128.andnot(good, clear), all(NEVER), get(conditions, CLEAR_SINCE)));

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
  const astray = v128.not(f32x4.lt(off, all(Infinity)));
  const stalled = v128.andnot(v128.or(astray, f32x4.le(h, all(shortestStep))), good);
  const stuck = v128.or(f32x4.gt(evaluations, mostEvaluations), stalled);
  if (v128.any_true(stuck)) {
    v128.store(outcome, only(stuck, pick(astray, all(2), one)));
    return arriving | i32x4.bitmask(stuck);
  }
  return arriving;
}

/** Keeps the first day from which water stayed clear, in lanes where it is clear on a day. */
function watchClearing(clearing: v128, day: v128): void {
  const since = get(conditions, CLEAR_SINCE);
  const ready = get(conditions, READY_DAY);
  const stayed = f32x4.ge(sub(day, since), all(stayClear));
  const first = v128.and(v128.and(clearing, stayed), f32x4.eq(ready, all(NEVER)));
  set(conditions, READY_DAY, pick(first, since, ready));
}
