import { type Plan, segmentWidth, stopKind } from './plan.ts';
import { biologyIndex as B } from './process/biology.ts';
import { stateIndex as S, stateWidth } from './process/state.ts';
import {
  alkalinityPerAmmoniaN,
  alkalinityPerMineralisedN,
  passedOnToNitrate,
  passedOnToNitrite,
} from './process/stoichiometry.ts';

/** How exactly, and how long, a run may work. */
export interface RunSettings {
  /** Error allowed in one step, mg N/L and mg N/L/d, relative above 1. */
  readonly tolerance: number;
  /** Derivative evaluations after which the run gives up. */
  readonly mostEvaluations: number;
}

/** Good to about 1e-3 of a level over 60 days: enough beside readings that are 20 % wide. */
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

/** mg N/L below which ammonia, and nitrite, count as cleared. */
export const clearLevel = 0.1;
/** mg N/L that must have been put in or set free before clear water means anything. */
export const leastFreed = 0.5;
/** Days the water must stay clear. */
export const stayClear = 1;

/** Fastest first-order decay the quick kernel resolves, 1/d; half-saturations are widened to keep below it. */
const fastestDecay = 80;
const longestStep = 0.5;
const shortestStep = 1e-7;
/** Days between the middle and the ends of the ramp on which nitrate loss sets in. */
const denitrifyFrom = 20;
const denitrifyOver = 40;
const normalAlkalinity = 2.3;

/**
 * Runs the process model through a plan: classical fourth-order Runge–Kutta steps, their error measured against the
 * embedded third-order formula whose last slope is the next step's first (h/6·(k4 − k5)), stopping at every stop.
 *
 * `biology`: constants in kernel order. `start`: state at day 0, `stateWidth` numbers. `amounts`: what the stops
 * name. `out`: rows of `stateWidth` for the plan's outputs. Nothing is allocated. The sum of all nitrogen places
 * equals `put` to rounding, and nothing goes below zero. Equations: docs/science/nitrogen.md.
 *
 * The body is one function over local numbers on purpose: state kept in typed arrays costs a factor of three
 * (docs/decisions/0003-kernel-in-locals.md).
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
  const growthA = biology[B.growthA]!;
  const growthN = biology[B.growthN]!;
  const halfA = biology[B.halfA]!;
  const halfN = biology[B.halfN]!;
  const selfA = biology[B.selfA]!;
  const selfN = biology[B.selfN]!;
  const freeN = biology[B.freeAmmoniaN]!;
  const ceilingA = biology[B.ceilingA]!;
  const ceilingN = biology[B.ceilingN]!;
  const lossA = biology[B.lossA]!;
  const lossN = biology[B.lossN]!;
  const wakeA = biology[B.wakeA]!;
  const wakeN = biology[B.wakeN]!;
  const mineralised = biology[B.mineralised]!;
  const algae = biology[B.algae]!;
  const denitrify = biology[B.denitrify]!;
  const arriving = biology[B.arriving]!;
  const halfAlk = biology[B.halfAlkalinity]!;
  const attach = biology[B.attach]!;
  // Makes the alkalinity factor 1 in normal water.
  const alkNorm = (halfAlk + normalAlkalinity) / normalAlkalinity;

  let yA = start[S.ammonia]!;
  let yN = start[S.nitrite]!;
  let yX = start[S.nitrate]!;
  let yD = start[S.food]!;
  let yL = start[S.dissolved]!;
  let yQa = start[S.capacityA]!;
  let yQn = start[S.capacityN]!;
  let yK = start[S.alkalinity]!;
  let yB = start[S.bound]!;
  let yG = start[S.lost]!;
  let yF = start[S.freed]!;
  let removed = start[S.removed]!;
  let put = start[S.put]!;
  let asleepA = 1 - start[S.awakeA]!;
  let asleepN = 1 - start[S.awakeN]!;
  let inoculated = 0;

  let factorA = 1;
  let factorN = 1;
  let freeShare = 0;
  let breakUp = biology[B.breakUp]!;
  let ammonify = biology[B.ammonify]!;
  let vigour = 1;
  let load = 0;

  // Slopes, kept from one step to the next.
  let dA = 0;
  let dN = 0;
  let dX = 0;
  let dD = 0;
  let dL = 0;
  let dQa = 0;
  let dQn = 0;
  let dK = 0;
  let dB = 0;
  let dG = 0;
  let dF = 0;

  let day = 0;
  let step = 0.02;
  let fresh = true;
  let evaluations = 0;
  let clearSince = Number.NaN;
  let readyDay = Infinity;
  const { tolerance, mostEvaluations } = settings;
  const stops = plan.days.length;

  report.outcome = 'done';
  for (let stop = 0; stop < stops; stop++) {
    const until = plan.days[stop]!;
    while (day < until) {
      const left = until - day;
      const h = Math.min(step, left);
      const half = h / 2;
      const ramp = Math.min(1, Math.max(0, (day - denitrifyFrom) / denitrifyOver));
      const halfSleepA = asleepA > 1e-6 ? asleepA * Math.exp(-half / wakeA) : 0;
      const halfSleepN = asleepN > 1e-6 ? asleepN * Math.exp(-half / wakeN) : 0;
      const endSleepA = asleepA > 1e-6 ? (halfSleepA * halfSleepA) / asleepA : 0;
      const endSleepN = asleepN > 1e-6 ? (halfSleepN * halfSleepN) / asleepN : 0;
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
      let sA = 0;
      let sN = 0;
      let sX = 0;
      let sD = 0;
      let sL = 0;
      let sQa = 0;
      let sQn = 0;
      let sK = 0;
      let sB = 0;
      let sG = 0;
      let sF = 0;
      let k4A = 0;
      let k4N = 0;
      let k4Qa = 0;
      let k4Qn = 0;
      let k4L = 0;
      for (let stage = 0; ; stage++) {
        if (stage > 0 || fresh) {
          evaluations++;
          const mostA = factorA * vigour * qa * awakeA;
          const mostN = factorN * vigour * qn * awakeN;
          const kA = Math.max(halfA, mostA / fastestDecay);
          const kN = Math.max(halfN, mostN / fastestDecay);
          const rA = (mostA * a * selfA * k * alkNorm) / ((kA + a) * (selfA + a) * (halfAlk + k));
          const rN = (mostN * n * selfN * freeN) / ((kN + n) * (selfN + n) * (freeN + freeShare * a));
          const uptake = (algae * a) / (0.05 + a);
          const nitrateLoss = (0.025 * algae * x) / ((0.1 + x) * (0.05 + a)) + denitrify * ramp * x;
          const mineralising = ammonify * l;
          dD = -breakUp * d;
          dL = -mineralised * dD - mineralising;
          dF = mineralising + load;
          dA = dF - rA - uptake;
          dN = passedOnToNitrite * rA - rN;
          dX = passedOnToNitrate * rN - nitrateLoss;
          dQa = growthA * rA * (1 - qa / ceilingA) - lossA * awakeA * qa + arriving;
          dQn = growthN * rN * (1 - qn / ceilingN) - lossN * awakeN * qn + arriving;
          dK = alkalinityPerMineralisedN * mineralising - alkalinityPerAmmoniaN * passedOnToNitrite * rA;
          dB = -(1 - mineralised) * dD + (1 - passedOnToNitrite) * rA + (1 - passedOnToNitrate) * rN;
          dG = uptake + nitrateLoss;
        }
        if (stage === 4) break;
        const weight = stage === 0 || stage === 3 ? 1 : 2;
        sA += weight * dA;
        sN += weight * dN;
        sX += weight * dX;
        sD += weight * dD;
        sL += weight * dL;
        sQa += weight * dQa;
        sQn += weight * dQn;
        sK += weight * dK;
        sB += weight * dB;
        sG += weight * dG;
        sF += weight * dF;
        if (stage === 3) {
          const sixth = h / 6;
          k4A = dA;
          k4N = dN;
          k4Qa = dQa;
          k4Qn = dQn;
          k4L = dL;
          a = yA + sixth * sA;
          n = yN + sixth * sN;
          x = yX + sixth * sX;
          d = yD + sixth * sD;
          l = yL + sixth * sL;
          qa = yQa + sixth * sQa;
          qn = yQn + sixth * sQn;
          k = yK + sixth * sK;
        } else {
          const reach = stage === 2 ? h : half;
          a = yA + reach * dA;
          n = yN + reach * dN;
          x = yX + reach * dX;
          d = yD + reach * dD;
          l = yL + reach * dL;
          qa = yQa + reach * dQa;
          qn = yQn + reach * dQn;
          k = yK + reach * dK;
          // A stage may overshoot zero; the rate laws are only meant for what can exist.
          if (a < 0) a = 0;
          if (n < 0) n = 0;
          if (x < 0) x = 0;
          if (k < 0) k = 0;
          awakeA = 1 - (stage === 2 ? endSleepA : halfSleepA);
          awakeN = 1 - (stage === 2 ? endSleepN : halfSleepN);
        }
      }
      const sixth = h / 6;
      const error =
        sixth *
        Math.max(
          Math.abs(k4A - dA) / (1 + Math.abs(a)),
          Math.abs(k4N - dN) / (1 + Math.abs(n)),
          Math.abs(k4Qa - dQa) / (1 + qa),
          Math.abs(k4Qn - dQn) / (1 + qn),
          Math.abs(k4L - dL) / (1 + l),
        );
      const negative = a < 0 || n < 0 || x < 0 || k < 0;
      if (error > tolerance || negative || !(error >= 0)) {
        fresh = true;
        if (evaluations > mostEvaluations || h <= shortestStep || !(error >= 0)) {
          report.outcome = error >= 0 ? 'work-limit' : 'not-finite';
          report.evaluations = evaluations;
          report.reached = day;
          report.readyDay = readyDay;
          return;
        }
        step = negative ? h / 2 : h * Math.max(0.2, 0.9 * Math.sqrt(Math.sqrt(tolerance / error)));
        continue;
      }
      fresh = false;
      const clear = a < clearLevel && n < clearLevel;
      if (clear) {
        const freedNow = yF + sixth * sF;
        if (freedNow < leastFreed) clearSince = Number.NaN;
        else if (!(clearSince <= day)) clearSince = crossing(day, h, Math.max(yA, yN), Math.max(a, n));
        if (day + h - clearSince >= stayClear && readyDay === Infinity) readyDay = clearSince;
      } else clearSince = Number.NaN;
      yA = a;
      yN = n;
      yX = x;
      yD = d;
      yL = l;
      yQa = qa;
      yQn = qn;
      yK = k;
      yB += sixth * sB;
      yG += sixth * sG;
      yF += sixth * sF;
      put += load * h;
      asleepA = endSleepA;
      asleepN = endSleepN;
      day = left <= h ? until : day + h;
      if (h >= step || error > 0.1 * tolerance) {
        const grow = error > 0 ? 0.9 * Math.sqrt(Math.sqrt(tolerance / error)) : 4;
        step = Math.min(longestStep, h * Math.min(4, Math.max(0.3, grow)));
      }
    }

    const slot = plan.slots[stop]!;
    const amount = amounts[slot]!;
    switch (plan.kinds[stop]) {
      case stopKind.output: {
        const row = slot * stateWidth;
        out[row + S.ammonia] = yA;
        out[row + S.nitrite] = yN;
        out[row + S.nitrate] = yX;
        out[row + S.food] = yD;
        out[row + S.dissolved] = yL;
        out[row + S.capacityA] = yQa;
        out[row + S.capacityN] = yQn;
        out[row + S.awakeA] = 1 - asleepA;
        out[row + S.awakeN] = 1 - asleepN;
        out[row + S.alkalinity] = yK;
        out[row + S.bound] = yB;
        out[row + S.lost] = yG;
        out[row + S.removed] = removed;
        out[row + S.put] = put;
        out[row + S.freed] = yF;
        continue;
      }
      case stopKind.segment: {
        const from = slot * segmentWidth;
        factorA = plan.segments[from]!;
        factorN = plan.segments[from + 1]!;
        freeShare = plan.segments[from + 2]!;
        breakUp = biology[B.breakUp]! * plan.segments[from + 3]!;
        ammonify = biology[B.ammonify]! * plan.segments[from + 3]!;
        break;
      }
      case stopKind.vigour:
        vigour = amount;
        break;
      case stopKind.load:
        load = amount;
        break;
      case stopKind.ammonia:
        yA += amount;
        put += amount;
        yF += amount;
        clearSince = Number.NaN;
        break;
      case stopKind.nitrite:
        yN += amount;
        put += amount;
        yF += amount;
        clearSince = Number.NaN;
        break;
      case stopKind.nitrate:
        yX += amount;
        put += amount;
        yF += amount;
        break;
      case stopKind.organic:
        yD += amount;
        put += amount;
        break;
      case stopKind.culture: {
        const addedN = amounts[slot + 1]!;
        asleepA = (asleepA * yQa + amount) / (yQa + amount);
        asleepN = (asleepN * yQn + addedN) / (yQn + addedN);
        yQa += amount;
        yQn += addedN;
        inoculated = day;
        break;
      }
      case stopKind.exchange: {
        const kept = 1 - amount;
        const loose = 1 - amount * Math.exp(-(day - inoculated) / attach);
        removed += amount * (yA + yN + yX + yL);
        yA *= kept;
        yN *= kept;
        yL *= kept;
        yX = yX * kept + amount * amounts[slot + 1]!;
        put += amount * amounts[slot + 1]!;
        yK = yK * kept + amount * amounts[slot + 2]!;
        yQa *= loose;
        yQn *= loose;
        break;
      }
      case stopKind.alkalinity:
        yK += amount;
        break;
      case stopKind.survival:
        yQa *= amount;
        yQn *= amount;
        break;
    }
    fresh = true;
    step = Math.min(step, 0.1);
  }
  report.evaluations = evaluations;
  report.reached = day;
  report.readyDay = readyDay;
}

/** Day within a step of length h at which a level falling from `before` to `after` passes the clear level. */
function crossing(day: number, h: number, before: number, after: number): number {
  return before <= clearLevel ? day : day + (h * (before - clearLevel)) / (before - after);
}
