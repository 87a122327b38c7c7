import { inHundred, inTen } from '../chances.ts';
import { ammoniaAmount, amountsOf } from '../orders/ammonia-amount.ts';
import { type Bearings, dayWords, hoursFrom, instantOf, lastReading, usualHour } from '../orders/bearings.ts';
import { order } from '../orders/make.ts';
import type { Order, Reason } from '../orders/order.ts';
import { chanceOf } from '../orders/particles.ts';
import { testOf } from '../orders/test-of.ts';
import { bandWords, figure, levelBandWords, listWords, neat } from '../orders/words.ts';
import {
  carriedLoad,
  challengeSize,
  chanceOfPassing,
  firstLoadOf,
  leastChallenge,
  passLevel,
} from './load.ts';
import { isJudged, type Proof } from './proof.ts';
import { harmDays } from './weighing.ts';

/** mg N/L below which water counts as clear enough to pour a challenge into. */
const clearEnough = 0.25;
/** Chance of passing from which a first challenge is worth its tests, and another; below it bacteria are fed, and grow. */
const worthTrying = 0.7;
const worthAnother = 0.85;
/** Hours for which a reading still speaks for the water a challenge is poured into. */
const freshHours = 36;
const surely = 0.95;
/** Days for which readings of clear water stay a reason to prove. */
const freshDays = 13;

/** Probability that a challenge poured now would be passed, from simulating it on every particle. */
const chanceNow = ({ reckoning, today }: Bearings, mgNPerLitre: number): number =>
  chanceOfPassing(reckoning.posterior, today, mgNPerLitre);

/** Whether and how to prove the tank now, what a running proof needs, and what it is good for once it is there. */
export function readinessOrders(bearings: Bearings, proof: Proof): Order[] {
  if (bearings.animals.present) return [];
  switch (proof.state) {
    case 'running':
      return runningOrders(bearings, proof);
    case 'proven':
      return stockOrders(bearings, proof);
    default:
      return [...proveOrders(bearings, proof), ...verdictOrder(bearings, proof)];
  }
}

function runningOrders(bearings: Bearings, { runs }: Proof): Order[] {
  const run = runs.at(-1)!;
  const hours = Math.min(...run.wants.map(({ afterHours }) => afterHours));
  const analytes = run.wants.filter(({ afterHours }) => afterHours === hours).map(({ analyte }) => analyte);
  const when = instantOf(bearings, Math.max(run.day + hours / 24, bearings.today));
  const due = Date.parse(when) <= bearings.asOf + 12 * 3_600_000;
  return [
    order(bearings, {
      key: 'prove:read',
      do: 'test',
      when,
      what: {
        tests: analytes.map((analyte) => testOf(bearings, analyte)),
      },
      say: `Read the challenge: test ${analytes.join(' and ')} ${hours} hours after the dose, which is ${dayWords(bearings, when)}; change no water and dose nothing until then.`,
      because: [
        {
          fact: `on ${dayWords(bearings, instantOf(bearings, run.day))} a dose of ${figure(run.mgNPerLitre)} mg/L as N went into clear water; ammonia has to be below ${passLevel} mg/L as N after a day, and nitrite after a day, or two for a small first stocking`,
          source: 'customary practice',
        },
        run.wants.some(({ analyte }) => analyte === 'ammonia') ? undefined : ammoniaSpared,
        run.wants.some(({ analyte }) => analyte === 'nitrite') ? undefined : nitriteSpared,
      ],
      urgency: due ? 'today' : 'soon',
      sure: run.chance,
      holdsWhile: 'a challenge dose is being worked on and has not been read',
      lookAgain: when,
      cautions: ['CAU-C5'],
    }),
  ];
}

/** Why ammonia is not read. */
const ammoniaSpared: Reason = {
  fact: 'leave ammonia out unless you like to see it: everything read so far says that it is gone after a day, and nitrite is what decides',
};

/** Why nitrite is not read. */
const nitriteSpared: Reason = {
  fact: 'leave nitrite out unless you like to see it: it was read lately and will surely be gone after two days, and ammonia is what decides',
};

function proveOrders(bearings: Bearings, proof: Proof): Order[] {
  const { situation, levels, draws } = bearings;
  if (!readOf(bearings, 'nitrite', freshDays)) return [];
  if (!readOf(bearings, 'ammonia', freshDays) && !surelyClear(bearings, 'ammonia')) return [];
  if (situation.neverFed || levels.freed.p50 < clearEnough) return [];
  const clear = chanceOf(draws.ammonia, (value, i) => value < clearEnough && draws.nitrite[i]! < clearEnough);
  if (clear < 0.5) return [];
  const size = challengeSize(bearings);
  const chance = chanceNow(bearings, size.mgNPerLitre);
  const tried = proof.runs.some((one) => isJudged(one) && one.state !== 'diluted');
  if (chance < (tried ? worthAnother : worthTrying)) return [];
  const amount = ammoniaAmount(bearings, size.mgNPerLitre);
  const run = proof.state === 'once' ? 2 : 1;
  const testFirst = (['ammonia', 'nitrite'] as const)
    .filter((analyte) => !readOf(bearings, analyte, freshHours / 24) && !surelyClear(bearings, analyte))
    .map((analyte) => testOf(bearings, analyte));
  const before = testFirst.length === 0 ? '' : `test ${listWords(testFirst.map(({ analyte }) => analyte))}, `;
  return [
    order(bearings, {
      key: 'prove',
      do: 'prove',
      what: {
        ...amountsOf(amount),
        testFirst,
        readAfterHours: [24, 48],
        forLoadMgNPerDay: bearings.litres ? neat(firstLoadOf(bearings)) : null,
        run,
      },
      say: `Prove the tank${run === 2 ? ' a second time' : ''}: ${before}pour ${amount.words}, light off, and test ammonia and nitrite after 24 hours and nitrite again after 48 where it is still there; change no water in between.`,
      because: [
        proof.lapsedBy,
        run === 2
          ? {
              fact: 'the first challenge was passed; one may be luck, two in a row are a proof',
              source: 'customary practice',
            }
          : { fact: 'clear water alone proves nothing: a dose of the size the animals will bring does' },
        {
          fact: `it will be passed with a chance of ${inTen(chance)}, simulated on everything the readings leave possible`,
        },
        sizeReason(bearings, size),
        amount.note === undefined ? undefined : { fact: amount.note },
        {
          fact: 'measure alkalinity before and after: it should fall by 0.14 meq/L for each mg/L as N, which no algae or dilution would do',
          source: 'Timmons & Ebeling, Recirculating Aquaculture',
        },
      ],
      urgency: 'today',
      sure: chance,
      holdsWhile: 'ammonia and nitrite are clear and a challenge is likely to be passed',
      lookAgain: hoursFrom(bearings, 24),
      cautions: [...amount.cautions, 'CAU-C5'],
    }),
  ];
}

/** Where half as many animals would be carried already, whoever would rather not wait may begin with those. */
function fewerReason(bearings: Bearings): Reason | undefined {
  const half = challengeSize(bearings).mgNPerLitre / 2;
  if (half < leastChallenge) return undefined;
  const chance = chanceNow(bearings, half);
  return chance < surely
    ? undefined
    : {
        fact: `a challenge for half as many first animals would be passed with a chance of ${inTen(chance)}: plan fewer, or wait`,
      };
}

/** Days for which the outcome of a challenge is told. */
const toldDays = 14;

/** A challenge that proved nothing, or not enough, is said to have done so. */
function verdictOrder(bearings: Bearings, { runs, state }: Proof): Order[] {
  const run = runs.findLast(isJudged);
  if (!run || state === 'lapsed' || bearings.today - run.day > toldDays) return [];
  const poured = `the challenge of ${dayWords(bearings, instantOf(bearings, run.day))}`;
  const verdict =
    run.state === 'diluted'
      ? `${poured} says nothing, since water was changed or a binder was in it before it was read`
      : run.state === 'passed'
        ? `${poured} was passed; a proof takes two in a row and hardly a doubt that the next is passed too`
        : `that ${poured} was passed has a chance of only ${inTen(run.chance)}`;
  return [
    order(bearings, {
      key: 'prove:verdict',
      do: 'wait',
      what: { until: null, for: 'a challenge that leaves hardly a doubt' },
      say: `Not proven yet: ${verdict}.`,
      because: [
        {
          fact: `passed means ammonia below ${passLevel} mg/L as N after a day and nitrite after two; ${figure(run.mgNPerLitre)} mg/L was poured`,
          source: 'customary practice',
        },
        {
          fact: 'nothing is lost: what was poured fed the bacteria, and the next challenge finds more of them',
        },
        fewerReason(bearings),
      ],
      urgency: 'soon',
      lookAgain: hoursFrom(bearings, 96),
      sure: run.state === 'diluted' ? null : run.chance,
      holdsWhile: 'the last challenge left doubt and no other has been judged',
    }),
  ];
}

const readOf = (bearings: Bearings, analyte: string, withinDays: number): boolean =>
  lastReading(bearings, analyte, withinDays) !== undefined;

/** Whether the readings so far leave hardly a doubt that there is none left to speak of, so that it need not be read. */
const surelyClear = ({ draws }: Bearings, analyte: 'ammonia' | 'nitrite'): boolean =>
  chanceOf(draws[analyte], (value) => value < clearEnough) >= surely;

function sizeReason(bearings: Bearings, { mgNPerLitre, tooMany }: ReturnType<typeof challengeSize>): Reason {
  const load = firstLoadOf(bearings);
  const whose =
    bearings.intent.firstLoadMgNPerDay === undefined
      ? `two small fish, about ${figure(load)} mg of nitrogen a day, as nothing else is planned`
      : `a planned first load of ${figure(load)} mg of nitrogen a day`;
  return {
    fact: `the dose is three days' waste of ${whose}, at least 0.5 and at most 2 mg/L as N: here ${figure(mgNPerLitre)}${
      tooMany ? '; the first animals are too many for one step, bring fewer' : ''
    }`,
    source: 'Handy & Poxton 1993; Timmons & Ebeling, Recirculating Aquaculture',
  };
}

/** mg N/L of nitrate (40 mg/L as NO3) above which a large change comes before animals. */
const nitrateForAnimals = 9.03;

function stockOrders(bearings: Bearings, proof: Proof): Order[] {
  if (bearings.levels.nitrate.p50 > nitrateForAnimals) return [];
  const { p05, p50 } = carriedLoad(bearings, proof.clearedMgNPerLitre);
  const scale = bearings.litres?.value ?? 1;
  const first = neat(Math.min(p05, (proof.clearedMgNPerLitre * scale) / 3));
  const unit = bearings.litres ? 'mg of nitrogen a day' : 'mg of nitrogen a day for each litre';
  const until = proof.until!;
  return [
    order(bearings, {
      key: 'stock',
      do: 'stock',
      when: usualHour(bearings, 0),
      what: {
        loadMgNPerDay: { p05: neat(p05), p50: neat(p50) },
        firstLoadMgNPerDay: first,
        until,
      },
      say: `The tank is proven: the first animals may come until ${dayWords(bearings, until)}, bringing at most ${figure(first)} ${unit}, then none for two weeks.`,
      because: [
        {
          fact: `${proof.passedInARow === 2 ? 'two' : proof.passedInARow} challenges in a row were passed, each of at least ${figure(proof.clearedMgNPerLitre)} mg/L as N in a day; the chance that it carries what is planned is ${inHundred(proof.chance)}`,
        },
        {
          fact: `another challenge would cost two days and avert less harm than that: a tank wrongly called ready is counted as bad as ${harmDays} days of waiting`,
          source: 'docs/science/advice.md, readiness',
        },
        {
          fact: `with ammonia and nitrite settled below 0.1 mg/L as N it carries ${bandWords({ p05, p50, p95: p50 }, unit)}; the first animals should bring no more than a third of what was cleared, reckoned as grown animals, not as bought`,
          source: 'customary practice',
        },
        { fact: `nitrate is ${levelBandWords(bearings, 'nitrate', bearings.levels.nitrate)}` },
        {
          fact: 'the proof lapses after two weeks, after three days without food for the bacteria, and after medicine, a long power cut or a move',
          source: 'public-aquarium practice for idle systems',
        },
        { fact: 'it does not prove freedom from disease, enough oxygen, or that nitrate will stay low' },
      ],
      urgency: 'soon',
      sure: proof.chance,
      holdsWhile: 'the proof holds and nitrate is low enough for animals',
      lookAgain: until,
      cautions: ['CAU-L1', 'CAU-L2', 'CAU-X1'],
    }),
  ];
}
