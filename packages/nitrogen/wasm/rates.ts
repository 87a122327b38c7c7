import {
  algaeHalfAmmonia,
  algaeHalfNitrate,
  algaeNitrateShare,
  denitrifyFrom,
  denitrifyOver,
  fastestDecay,
  longestStep,
  mostDecay,
  normalAlkalinity,
} from '../src/limits.ts';
import { passedOnToNitrite } from '../src/process/stoichiometry.ts';
import { add, all, div, least, most, mul, sub } from './lanes.ts';
import {
  ALGAE,
  ALKALINITY,
  AMMONIA,
  AMMONIFIED,
  ARRIVING,
  AWAKE_A,
  AWAKE_N,
  BROKEN,
  BROKEN_UP,
  biology,
  CAPACITY_A,
  CAPACITY_N,
  CAPPED_A,
  CAPPED_N,
  CEILING_A,
  CEILING_N,
  conditions,
  DECAYING_A,
  DECAYING_N,
  DENITRIFY,
  DISSOLVED,
  FACTOR_A,
  FACTOR_N,
  FOOD,
  FREE_RATIO,
  FREEING,
  GONE,
  GROWING_A,
  GROWING_N,
  GROWTH_A,
  GROWTH_N,
  get,
  HALF_A,
  HALF_ALKALINITY,
  HALF_N,
  LOAD,
  LONGEST,
  LOSS_A,
  LOSS_N,
  NITRATE,
  NITRATE_LOSS,
  NITRITE,
  OXIDISED_A,
  OXIDISED_N,
  PACE_A,
  PACE_N,
  PER_CEILING_A,
  PER_CEILING_N,
  PER_WAKE_A,
  PER_WAKE_N,
  place,
  rates,
  SELF_A,
  SELF_N,
  set,
  TAKEN,
  tank,
  VIGOUR,
  WAKE_A,
  WAKE_N,
} from './tables.ts';

/** Works out what the rates need of biology and surroundings. */
export function knowTank(): void {
  const one = all(1);
  const normal = mul(add(get(biology, HALF_ALKALINITY), all(normalAlkalinity)), all(1 / normalAlkalinity));
  const paceA = mul(mul(get(conditions, FACTOR_A), get(conditions, VIGOUR)), normal);
  const paceN = mul(get(conditions, FACTOR_N), get(conditions, VIGOUR));
  set(tank, PACE_A, paceA);
  set(tank, PACE_N, paceN);
  set(tank, CAPPED_A, mul(paceA, all(1.0 / fastestDecay)));
  set(tank, CAPPED_N, mul(paceN, all(1.0 / fastestDecay)));
  set(tank, PER_CEILING_A, div(one, get(biology, CEILING_A)));
  set(tank, PER_CEILING_N, div(one, get(biology, CEILING_N)));
  set(tank, PER_WAKE_A, div(one, get(biology, WAKE_A)));
  set(tank, PER_WAKE_N, div(one, get(biology, WAKE_N)));
  const fastest = most(get(conditions, BROKEN_UP), get(conditions, AMMONIFIED));
  set(tank, LONGEST, least(all(longestStep), div(all(mostDecay), fastest)));
}

/** Nitrate loss on a day, 1/d. */
export function nitrateLossOn(day: v128): v128 {
  const ripe = mul(sub(day, all(denitrifyFrom)), all(1.0 / denitrifyOver));
  return mul(get(biology, DENITRIFY), least(most(ripe, all(0)), all(1)));
}

/** Rates of the processes at the place; products are grouped so that what a stage has to wait for comes last. */
export function look(): void {
  const one = all(1);
  const a = get(place, AMMONIA);
  const n = get(place, NITRITE);
  const x = get(place, NITRATE);
  const qa = get(place, CAPACITY_A);
  const qn = get(place, CAPACITY_N);
  const k = get(place, ALKALINITY);
  const awakeA = get(place, AWAKE_A);
  const awakeN = get(place, AWAKE_N);
  const selfA = get(biology, SELF_A);
  const selfN = get(biology, SELF_N);

  const mostA = mul(qa, mul(get(tank, PACE_A), awakeA));
  const mostN = mul(qn, mul(get(tank, PACE_N), awakeN));
  const halfA = most(get(biology, HALF_A), mul(qa, mul(get(tank, CAPPED_A), awakeA)));
  const halfN = most(get(biology, HALF_N), mul(qn, mul(get(tank, CAPPED_N), awakeN)));
  const limitsA = mul(add(selfA, a), add(get(biology, HALF_ALKALINITY), k));
  const limitsN = mul(add(selfN, n), add(one, mul(get(conditions, FREE_RATIO), a)));
  const withinA = add(halfA, a);
  const withinN = add(halfN, n);
  const pullA = div(mul(mostA, mul(selfA, k)), mul(withinA, limitsA));
  const pullN = div(mul(mostN, selfN), mul(withinN, limitsN));
  const oxidisedA = mul(pullA, a);
  const oxidisedN = mul(pullN, n);
  set(rates, OXIDISED_A, oxidisedA);
  set(rates, OXIDISED_N, oxidisedN);
  set(rates, DECAYING_A, div(mul(pullA, halfA), withinA));
  set(rates, DECAYING_N, div(mul(pullN, halfN), withinN));

  const nitrate = add(x, all(algaeHalfNitrate));
  const taking = div(get(biology, ALGAE), mul(nitrate, add(a, all(algaeHalfAmmonia))));
  set(rates, TAKEN, mul(taking, mul(a, nitrate)));
  set(rates, GONE, mul(add(mul(taking, all(algaeNitrateShare)), get(place, NITRATE_LOSS)), x));
  set(rates, BROKEN, mul(get(conditions, BROKEN_UP), get(place, FOOD)));
  set(rates, FREEING, mul(get(conditions, AMMONIFIED), get(place, DISSOLVED)));

  const arriving = get(biology, ARRIVING);
  const roomA = sub(one, mul(qa, get(tank, PER_CEILING_A)));
  const roomN = sub(one, mul(qn, get(tank, PER_CEILING_N)));
  const changeA = sub(arriving, mul(qa, mul(get(biology, LOSS_A), awakeA)));
  const changeN = sub(arriving, mul(qn, mul(get(biology, LOSS_N), awakeN)));
  set(rates, GROWING_A, add(mul(oxidisedA, mul(get(biology, GROWTH_A), roomA)), changeA));
  set(rates, GROWING_N, add(mul(oxidisedN, mul(get(biology, GROWTH_N), roomN)), changeN));
}

/** Slope of ammonia, mg N/L/d, by the last rates. */
export function slopeOfAmmonia(): v128 {
  return sub(sub(add(get(rates, FREEING), get(conditions, LOAD)), get(rates, TAKEN)), get(rates, OXIDISED_A));
}

/** Slope of nitrite. */
export function slopeOfNitrite(): v128 {
  return sub(mul(get(rates, OXIDISED_A), all(passedOnToNitrite)), get(rates, OXIDISED_N));
}
