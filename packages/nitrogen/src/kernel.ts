import {
  algaeHalfAmmonia,
  algaeHalfNitrate,
  algaeNitrateShare,
  clearLevel,
  crossingHalvings,
  denitrifyFrom,
  denitrifyOver,
  fastestDecay,
  firstStep,
  leastAsleep,
  leastDecay,
  leastFreed,
  leastLevel,
  longestStep,
  mostDecay,
  normalAlkalinity,
  shortestStep,
  stayClear,
} from './limits.ts';
import { exp } from './numbers/elementary.ts';
import { type Plan, stopKind } from './plan.ts';
import { biologyIndex as B } from './process/biology.ts';
import { stateIndex as S, stateWidth } from './process/state.ts';
import {
  alkalinityPerAmmoniaN,
  alkalinityPerMineralisedN,
  passedOnToNitrate,
  passedOnToNitrite,
} from './process/stoichiometry.ts';
import { conditionIndex as C, conditionWidth, obey, startConditions } from './stops.ts';

/** How exactly, and how long, a run may work. */
export interface RunSettings {
  /** Error allowed in one step, mg N/L and mg N/L/d, relative above 1. */
  readonly tolerance: number;
  /** Derivative evaluations after which the run gives up. */
  readonly mostEvaluations: number;
}

/** Good to 1 % of a level plus 0.05 mg N/L, and to half an hour of the day it is ready: enough beside readings 20 % wide. */
export const quickSettings: RunSettings = { tolerance: 1e-4, mostEvaluations: 60_000 };
/** For curves that are looked at and for tests. */
export const fineSettings: RunSettings = { tolerance: 2e-6, mostEvaluations: 600_000 };

/** What a run did; one object is reused over many runs. */
export interface RunReport {
  outcome: 'done' | 'work-limit' | 'not-finite';
  /** Derivative evaluations. */
  evaluations: number;
  /** Day up to which the run got. */
  reached: number;
  /**
   * First day from which ammonia and nitrite were both below `clearLevel` for a whole day without a dose, with at
   * least `leastFreed` set free before; Infinity where that did not happen within the run.
   */
  readyDay: number;
}

export const newReport = (): RunReport => ({
  outcome: 'done',
  evaluations: 0,
  reached: 0,
  readyDay: Infinity,
});

const state = new Float64Array(stateWidth);
const conditions = new Float64Array(conditionWidth);

/**
 * Runs the process model through a plan, stopping at every stop. Equations: docs/science/nitrogen.md.
 *
 * `biology`: constants in kernel order. `start`: state at day 0, `stateWidth` numbers. `amounts`: what the stops
 * name. `out`: rows of `stateWidth` for the plan's outputs. Nothing is allocated. The sum of all nitrogen places
 * equals `put` to rounding, and nothing goes below zero.
 */
export function run(
  biology: Float64Array,
  start: Float64Array,
  plan: Plan,
  amounts: Float64Array,
  out: Float64Array,
  settings: RunSettings,
  report: RunReport,
): void {
  state.set(start);
  startConditions(conditions, biology);
  conditions[C.step] = firstStep;
  report.outcome = 'done';
  report.evaluations = 0;
  report.reached = 0;
  for (let stop = 0; stop < plan.days.length; stop++) {
    const until = plan.days[stop]!;
    if (until > report.reached && !advance(biology, state, conditions, until, settings, report)) break;
    if (plan.kinds[stop] === stopKind.output) out.set(state, plan.slots[stop]! * stateWidth);
    else obey(plan, stop, amounts, biology, state, conditions);
  }
  report.readyDay = conditions[C.readyDay]!;
}

/**
 * Integrates from where the report stands to `until` with no stop between: classical fourth-order Runge–Kutta steps, but along
 * their decay for ammonia and nitrite where they are used up faster than the step is long (Cox & Matthews 2002, J. Comput.
 * Phys. 176:430). Their error is measured against the embedded formula whose last slope is the next step's first, in the
 * classical case h/6·(k4 − k5). False where it had to give up, which the report says.
 *
 * All numbers are locals on purpose: kept in arrays they would cost a factor of three
 * (docs/decisions/0005-kernel-in-locals.md).
 */
function advance(
  biology: Float64Array,
  state: Float64Array,
  conditions: Float64Array,
  until: number,
  { tolerance, mostEvaluations }: RunSettings,
  report: RunReport,
): boolean {
  const growthA = biology[B.growthA]!;
  const growthN = biology[B.growthN]!;
  const halfA = biology[B.halfA]!;
  const halfN = biology[B.halfN]!;
  const selfA = biology[B.selfA]!;
  const selfN = biology[B.selfN]!;
  const perCeilingA = 1 / biology[B.ceilingA]!;
  const perCeilingN = 1 / biology[B.ceilingN]!;
  const lossA = biology[B.lossA]!;
  const lossN = biology[B.lossN]!;
  const wakeA = biology[B.wakeA]!;
  const wakeN = biology[B.wakeN]!;
  const mineralised = biology[B.mineralised]!;
  const algae = biology[B.algae]!;
  const denitrify = biology[B.denitrify]!;
  const arriving = biology[B.arriving]!;
  const halfAlk = biology[B.halfAlkalinity]!;
  const breakUp = conditions[C.breakUp]!;
  const ammonify = conditions[C.ammonify]!;
  const load = conditions[C.load]!;
  const longest = Math.min(longestStep, mostDecay / Math.max(breakUp, ammonify));
  // What multiplies capacity: surroundings, vigour, and the constant parts of the limitations.
  const paceA =
    (conditions[C.factorA]! * conditions[C.vigour]! * (halfAlk + normalAlkalinity)) / normalAlkalinity;
  const paceN = conditions[C.factorN]! * conditions[C.vigour]!;
  const freeRatio = conditions[C.freeShare]! / biology[B.freeAmmoniaN]!;
  const alkalinityPerOxidised = alkalinityPerAmmoniaN * passedOnToNitrite;

  let yA = state[S.ammonia]!;
  let yN = state[S.nitrite]!;
  let yX = state[S.nitrate]!;
  let yD = state[S.food]!;
  let yL = state[S.dissolved]!;
  let yQa = state[S.capacityA]!;
  let yQn = state[S.capacityN]!;
  let yK = state[S.alkalinity]!;
  let asleepA = 1 - state[S.awakeA]!;
  let asleepN = 1 - state[S.awakeN]!;
  let bound = state[S.bound]!;
  let lost = state[S.lost]!;
  let freed = state[S.freed]!;
  let clearSince = conditions[C.clearSince]!;
  let readyDay = conditions[C.readyDay]!;
  let step = conditions[C.step]!;
  let day = report.reached;
  const from = day;
  let evaluations = report.evaluations;
  let going = true;

  // Rates of the processes at the last place looked at, kept from one step to the next.
  let broken = 0;
  let freeing = 0;
  let oxidisedA = 0;
  let oxidisedN = 0;
  let taken = 0;
  let gone = 0;
  let growingA = 0;
  let growingN = 0;
  // Half-saturations there, and how fast ammonia and nitrite are used up, 1/d.
  let wideA = 0;
  let wideN = 0;
  let pullA = 0;
  let pullN = 0;
  let fresh = true;
  while (day < until) {
    const left = until - day;
    const h = Math.min(step, left);
    const half = 0.5 * h;
    const halfLoss = denitrify * ripeness(day + half);
    const endLoss = denitrify * ripeness(day + h);
    const halfSleepA = asleepA > leastAsleep ? asleepA * exp(-half / wakeA) : 0;
    const halfSleepN = asleepN > leastAsleep ? asleepN * exp(-half / wakeN) : 0;
    const endSleepA = asleepA > leastAsleep ? (halfSleepA * halfSleepA) / asleepA : 0;
    const endSleepN = asleepN > leastAsleep ? (halfSleepN * halfSleepN) / asleepN : 0;
    // How the step follows ammonia and nitrite: the decay of a trace in it; the share of its rise, as the step begins with it, that a
    // level has risen by the middle; and what rises at the beginning, in the middle and at the end weigh.
    let decayA = 0;
    let decayN = 0;
    let leadA = 0;
    let leadN = 0;
    let firstWeightA = 0;
    let firstWeightN = 0;
    let middleWeightA = 0;
    let middleWeightN = 0;
    let lastWeightA = 0;
    let lastWeightN = 0;
    let a = yA;
    let n = yN;
    let x = yX;
    let d = yD;
    let l = yL;
    let qa = yQa;
    let qn = yQn;
    let k = yK;
    let awakeA = 1 - asleepA;
    let awakeN = 1 - asleepN;
    let nitrateLoss = denitrify * ripeness(day);
    // Weighted sums of the rates, at the end what each process did in the step.
    let sumBroken = 0;
    let sumFreeing = 0;
    let sumA = 0;
    let sumN = 0;
    let sumTaken = 0;
    let sumGone = 0;
    let sumGrowingA = 0;
    let sumGrowingN = 0;
    // Rises of ammonia and nitrite in a step by their slope, what their decay leaves of it: now, at the beginning, twice in the middle.
    let riseA = 0;
    let riseN = 0;
    let firstA = 0;
    let firstN = 0;
    let middlesA = 0;
    let middlesN = 0;
    let aMiddle = 0;
    let nMiddle = 0;
    let lastGrowingA = 0;
    let lastGrowingN = 0;
    // mg N/L, or meq/L, by which the step would have gone below nothing.
    let over = 0;
    for (let stage = fresh ? 0 : 1; ; stage++) {
      if (stage > 0) {
        riseA = h * (freeing + load - oxidisedA - taken) + decayA * (a - yA);
        riseN = h * (passedOnToNitrite * oxidisedA - oxidisedN) + decayN * (n - yN);
        const weight = stage === 1 || stage === 4 ? 1 : 2;
        sumBroken += weight * broken;
        sumFreeing += weight * freeing;
        sumTaken += weight * taken;
        sumGone += weight * gone;
        sumGrowingA += weight * growingA;
        sumGrowingN += weight * growingN;
        if (stage < 4) {
          const reach = stage === 3 ? h : half;
          if (stage === 1) {
            firstA = riseA;
            firstN = riseN;
            decayA = decayIn((h * pullA * wideA) / (wideA + yA));
            decayN = decayIn((h * pullN * wideN) / (wideN + yN));
            leadA = decayA > 0 ? (1 - exp(-0.5 * decayA)) / decayA : 0.5;
            leadN = decayN > 0 ? (1 - exp(-0.5 * decayN)) / decayN : 0.5;
            const wholeA = (2 - decayA * leadA) * leadA;
            const wholeN = (2 - decayN * leadN) * leadN;
            const laggingA = decayA > 0 ? (1 - wholeA) / decayA : 0.5;
            const laggingN = decayN > 0 ? (1 - wholeN) / decayN : 0.5;
            const curvedA = decayA > 0 ? (0.5 - laggingA) / decayA : 1 / 6;
            const curvedN = decayN > 0 ? (0.5 - laggingN) / decayN : 1 / 6;
            firstWeightA = wholeA - 3 * laggingA + 4 * curvedA;
            firstWeightN = wholeN - 3 * laggingN + 4 * curvedN;
            middleWeightA = 2 * laggingA - 4 * curvedA;
            middleWeightN = 2 * laggingN - 4 * curvedN;
            lastWeightA = 4 * curvedA - laggingA;
            lastWeightN = 4 * curvedN - laggingN;
          } else {
            middlesA += riseA;
            middlesN += riseN;
          }
          if (stage < 3) {
            a = yA + leadA * riseA;
            n = yN + leadN * riseN;
          } else {
            a = aMiddle + leadA * (2 * riseA - firstA - decayA * (aMiddle - yA));
            n = nMiddle + leadN * (2 * riseN - firstN - decayN * (nMiddle - yN));
          }
          x = yX + reach * (passedOnToNitrate * oxidisedN - gone);
          d = yD - reach * broken;
          l = yL + reach * (mineralised * broken - freeing);
          qa = yQa + reach * growingA;
          qn = yQn + reach * growingN;
          k = yK + reach * (alkalinityPerMineralisedN * freeing - alkalinityPerOxidised * oxidisedA);
          // A stage may overshoot zero; the rate laws are only meant for what can exist.
          if (a < 0) a = 0;
          if (n < 0) n = 0;
          if (x < 0) x = 0;
          if (k < 0) k = 0;
          if (stage === 1) {
            aMiddle = a;
            nMiddle = n;
          }
          awakeA = 1 - (stage === 3 ? endSleepA : halfSleepA);
          awakeN = 1 - (stage === 3 ? endSleepN : halfSleepN);
          nitrateLoss = stage === 3 ? endLoss : halfLoss;
        } else {
          lastGrowingA = growingA;
          lastGrowingN = growingN;
          const sixth = h / 6;
          sumBroken *= sixth;
          sumFreeing *= sixth;
          sumTaken *= sixth;
          sumGone *= sixth;
          const changeA = firstWeightA * firstA + middleWeightA * middlesA + lastWeightA * riseA;
          const changeN = firstWeightN * firstN + middleWeightN * middlesN + lastWeightN * riseN;
          const gained = sumFreeing + h * load;
          // No more can leave than is there: a step that takes too little to matter too much is cut to size.
          sumA = Math.max(0, gained - sumTaken - changeA);
          const thereA = yA + gained;
          const overA = sumA + sumTaken - thereA;
          if (overA > 0) {
            const share = thereA / (sumA + sumTaken);
            sumA *= share;
            sumTaken *= share;
          }
          a = overA > 0 ? 0 : -overA;
          const passedOn = passedOnToNitrite * sumA;
          sumN = Math.max(0, passedOn - changeN);
          const thereN = yN + passedOn;
          const overN = sumN - thereN;
          if (overN > 0) sumN = thereN;
          n = thereN - sumN;
          const thereX = yX + passedOnToNitrate * sumN;
          const overX = sumGone - thereX;
          if (overX > 0) sumGone = thereX;
          x = thereX - sumGone;
          over = Math.max(overA, overN, overX);
          d = yD - sumBroken;
          l = yL + mineralised * sumBroken - sumFreeing;
          if (a < leastLevel) a = 0;
          if (n < leastLevel) n = 0;
          if (d < leastLevel) d = 0;
          if (l < leastLevel) l = 0;
          qa = yQa + sixth * sumGrowingA;
          qn = yQn + sixth * sumGrowingN;
          k = yK + alkalinityPerMineralisedN * sumFreeing - alkalinityPerOxidised * sumA;
          over = Math.max(over, -k);
          if (k < leastLevel) k = 0;
        }
      }
      const mostA = paceA * qa * awakeA;
      const mostN = paceN * qn * awakeN;
      wideA = Math.max(mostA * (1 / fastestDecay), halfA);
      wideN = Math.max(mostN * (1 / fastestDecay), halfN);
      pullA = (mostA * selfA * k) / ((wideA + a) * (selfA + a) * (halfAlk + k));
      pullN = (mostN * selfN) / ((wideN + n) * (selfN + n) * (1 + freeRatio * a));
      oxidisedA = pullA * a;
      oxidisedN = pullN * n;
      const taking = algae / ((algaeHalfNitrate + x) * (algaeHalfAmmonia + a));
      taken = taking * a * (algaeHalfNitrate + x);
      gone = (algaeNitrateShare * taking + nitrateLoss) * x;
      broken = breakUp * d;
      freeing = ammonify * l;
      growingA = growthA * oxidisedA * (1 - qa * perCeilingA) - lossA * awakeA * qa + arriving;
      growingN = growthN * oxidisedN * (1 - qn * perCeilingN) - lossN * awakeN * qn + arriving;
      if (stage === 4) break;
    }
    evaluations += fresh ? 5 : 4;
    const nextA = h * (freeing + load - oxidisedA - taken);
    const nextN = h * (passedOnToNitrite * oxidisedA - oxidisedN);
    const offA = lastWeightA * Math.abs(riseA - nextA - decayA * (a - yA));
    const offN = lastWeightN * Math.abs(riseN - nextN - decayN * (n - yN));
    const offGrowingA = (h / 6) * Math.abs(lastGrowingA - growingA);
    const offGrowingN = (h / 6) * Math.abs(lastGrowingN - growingN);
    const levels = 1 + a + n;
    const capacities = 1 + qa + qn;
    const offLevels = capacities * Math.max(offA, offN);
    const offCapacities = levels * Math.max(offGrowingA, offGrowingN);
    const error = Math.max(offLevels, offCapacities) / (levels * capacities);
    if (!(error <= tolerance) || over > tolerance || evaluations > mostEvaluations) {
      if (!(error >= 0) || evaluations > mostEvaluations || h <= shortestStep) {
        report.outcome = error >= 0 ? 'work-limit' : 'not-finite';
        going = false;
        break;
      }
      fresh = true;
      const shrink = 0.9 * Math.sqrt(Math.sqrt(tolerance / error));
      step = h * (over > tolerance ? 0.5 : Math.max(shrink, 0.2));
      continue;
    }
    fresh = false;
    freed += sumFreeing + h * load;
    if (a < clearLevel && n < clearLevel && freed >= leastFreed) {
      if (!(clearSince <= day))
        clearSince = day + h * Math.max(crossing(yA, firstA, a, nextA), crossing(yN, firstN, n, nextN));
      if (day + h - clearSince >= stayClear && readyDay === Infinity) readyDay = clearSince;
    } else clearSince = Infinity;
    yA = a;
    yN = n;
    yX = x;
    yD = d;
    yL = l;
    yQa = qa;
    yQn = qn;
    yK = k;
    asleepA = endSleepA;
    asleepN = endSleepN;
    bound += (1 - mineralised) * sumBroken + (1 - passedOnToNitrite) * sumA + (1 - passedOnToNitrate) * sumN;
    lost += sumTaken + sumGone;
    day = left <= h ? until : day + h;
    // A step cut short by a stop says little about the next.
    if (h >= step || error > 0.1 * tolerance) {
      const grow = error > 0 ? 0.9 * Math.sqrt(Math.sqrt(tolerance / error)) : 4;
      const next = h * (grow > 4 ? 4 : Math.max(grow, 0.3));
      step = Math.min(next, longest);
    }
  }

  state[S.ammonia] = yA;
  state[S.nitrite] = yN;
  state[S.nitrate] = yX;
  state[S.food] = yD;
  state[S.dissolved] = yL;
  state[S.capacityA] = yQa;
  state[S.capacityN] = yQn;
  state[S.alkalinity] = yK;
  state[S.awakeA] = 1 - asleepA;
  state[S.awakeN] = 1 - asleepN;
  state[S.bound] = bound;
  state[S.lost] = lost;
  state[S.freed] = freed;
  state[S.put] = state[S.put]! + load * (day - from);
  conditions[C.step] = step;
  conditions[C.clearSince] = clearSince;
  conditions[C.readyDay] = readyDay;
  report.evaluations = evaluations;
  report.reached = day;
  return going;
}

/** How much of a trace is used up in a step, as it is followed: nothing where that is too little. */
const decayIn = (used: number): number => (used < leastDecay ? 0 : used);

/**
 * Share of a step after which a level passes the clear level, by halving: on the cubic through levels and rises in a step at both
 * ends.
 */
function crossing(before: number, rise: number, after: number, riseAfter: number): number {
  const over = before - clearLevel;
  if (over <= 0) return 0;
  const gained = after - before;
  const cube = rise + riseAfter - 2 * gained;
  const square = gained - rise - cube;
  let there = 0.5;
  for (let i = 0, part = 0.25; i < crossingHalvings; i++, part *= 0.5) {
    const level = over + there * (rise + there * (square + there * cube));
    there += level > 0 ? part : -part;
  }
  return there;
}

/** Share of the anoxic places a tank has on a day that it will have in the end. */
const ripeness = (day: number): number => Math.max(0, Math.min(1, (day - denitrifyFrom) / denitrifyOver));
