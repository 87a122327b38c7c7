import { quantileOfSorted } from '@brinewright/evidence';
import type { Nutrient } from '../course/answer.ts';
import { ammoniaAmount, amountsOf } from '../orders/ammonia-amount.ts';
import { type Bearings, dayWords, hoursFrom, instantOf, lastReading, usualHour } from '../orders/bearings.ts';
import { order } from '../orders/make.ts';
import type { Order, Reason } from '../orders/order.ts';
import { chanceOf, rowOf } from '../orders/particles.ts';
import { figure, levelBandWords, levelWords } from '../orders/words.ts';
import { challengeSize } from '../readiness/load.ts';
import type { Proof } from '../readiness/proof.ts';
import { dayMs } from '../situation/situation.ts';

/** mg N/L. Below the first, ammonia counts as gone; above the second, nitrite forbids feeding. */
const ammoniaGone = 0.25;
const nitriteForbids = 1;
/** meq/L below which bacteria starve of alkalinity and ammonia would only lie there. */
export const alkalinityForbids = 1.4;
const mostAmmonia = 4;
const sizes = { full: 2, most: 3, small: 0.5, keepAlive: 0.4 } as const;
const likely = 0.6;
/** A full dose is at least so many challenges. */
const challengesFed = 2.5;
/** Days without food after which a small meal keeps the first group awake while the second catches up. */
const hungryDays = 10;
const keepAliveDays = 2.5;
/** Days after which a reading of ammonia no longer says enough to feed on. */
const staleDays = 13;
const practice = 'customary practice';

/** Whether to feed the bacteria again, how much, or why not. Never with animals in the water. */
export function feedingOrders(bearings: Bearings, proof: Proof): Order[] {
  const { animals, situation, levels, draws } = bearings;
  if (animals.present || proof.state === 'running') return [];
  if (situation.neverFed) return [firstDose(bearings)];
  if (proof.state === 'proven') return keepAlive(bearings, proof);
  if (levels.alkalinity.p50 < alkalinityForbids)
    return [
      waitFor(bearings, 'alkalinity', 'no more ammonia until alkalinity is restored', [
        alkalinityReason(bearings),
      ]),
    ];
  if (levels.nitrite.p50 > nitriteForbids)
    return [waitFor(bearings, 'nitrite', nitriteSays(bearings), nitriteReasons(bearings))];
  if (chanceOf(draws.ammonia, (value) => value < ammoniaGone) < likely)
    return [waitFor(bearings, 'ammonia', ammoniaSays(bearings), ammoniaReasons(bearings))];
  return doseAgain(bearings, proof);
}

/** Days without a culture after which a slow start is given one, and days it would otherwise still take. */
const culturePause = 10;
const slowBeyondDays = 14;

/** Once a start has gone ten days without a culture and will take two weeks more, living bacteria from elsewhere shorten it most. */
export function cultureOrders(bearings: Bearings, proof: Proof): Order[] {
  const { animals, situation, today, facts, asOf, reckoning } = bearings;
  if (animals.present || situation.neverFed || proof.state !== 'none') return [];
  const last = facts.cultures.findLast(({ at }) => at <= asOf);
  const without = last ? (asOf - last.at) / dayMs : today;
  const ready = reckoning.trajectories.readyDays.slice().sort();
  const middle = quantileOfSorted(ready, 0.5);
  if (without < culturePause || middle - today < slowBeyondDays) return [];
  return [
    order(bearings, {
      key: 'culture',
      do: 'wait',
      what: {
        until: middle === Infinity ? null : instantOf(bearings, middle),
        for: 'bacteria that are still too few',
      },
      say: 'To shorten the wait, add living bacteria: a fresh bottle of culture, or a piece of media from a running, healthy tank; write it down. Waiting does as well, only longer.',
      because: [
        {
          fact: `no culture went in for ${Math.floor(without)} days, and the water is not expected to be ready for another ${middle === Infinity ? 'sixty or more' : Math.round(middle - today)}`,
        },
        {
          fact: 'bacteria double in about two days at best: a start from next to none is mostly waiting for the second group',
          source: 'docs/science/nitrogen.md',
        },
      ],
      urgency: 'soon',
      holdsWhile: 'no culture went in for ten days and two more weeks of waiting lie ahead',
      lookAgain: usualHour(bearings, 7),
    }),
  ];
}

function firstDose(bearings: Bearings): Order {
  const amount = ammoniaAmount(bearings, sizes.full);
  return order(bearings, {
    key: 'feed',
    do: 'dose',
    what: { substance: amount.substance, ...amountsOf(amount) },
    say: `Feed the bacteria for the first time: ${amount.words}, stirred in well; test ammonia an hour later and write both down.`,
    because: [
      { fact: 'nothing has been fed to this tank yet, and bacteria only settle where there is ammonia' },
      {
        fact: `1–2 mg/L as N is enough and ${mostAmmonia} the most: more slows the bacteria that come second`,
        source:
          'SRAC 4502 (DeLong & Losordo 2012); Anthonisen et al. 1976, J Water Pollut Control Fed 48:835',
      },
      {
        fact: 'no animal is needed to start a tank: ammonia from a bottle or a salt does as well and hurts nobody',
      },
      amount.note === undefined ? undefined : { fact: amount.note },
      {
        fact: 'the test an hour later tells whether the litres are right: the rise should be the dose divided by the water',
        source: 'conservation of mass',
      },
    ],
    urgency: 'today',
    holdsWhile: 'nothing has been fed',
    lookAgain: hoursFrom(bearings, 24),
    cautions: [...amount.cautions, 'CAU-E1', 'CAU-E2'],
  });
}

function doseAgain(bearings: Bearings, proof: Proof): Order[] {
  const { levels, today } = bearings;
  const unfed = today - (proof.lastFed ?? 0);
  if (unfed < 0.8 || stale(bearings)) return [];
  const nitriteSoon = levels.nitrite.p50 > 0.25;
  // The second group is busy and near its end: a challenge comes next, more food would only delay it.
  if (nitriteSoon && unfed < hungryDays) {
    const until = middleBelow(bearings, 'nitrite', ammoniaGone);
    return [waitFor(bearings, 'nitrite', nitriteSays(bearings), nitriteReasons(bearings), until)];
  }
  const wanted = nitriteSoon ? sizes.small : fullDose(bearings);
  const size = Math.min(wanted, mostAmmonia - levels.ammonia.p95);
  const amount = ammoniaAmount(bearings, size);
  return [
    order(bearings, {
      key: 'feed',
      do: 'dose',
      what: { substance: amount.substance, ...amountsOf(amount) },
      say: `Feed the bacteria again: ${amount.words}.`,
      because: [
        {
          fact: `ammonia is gone: ${levelBandWords(bearings, 'ammonia', levels.ammonia)}; nitrite is ${levelBandWords(bearings, 'nitrite', levels.nitrite)}`,
        },
        nitriteSoon
          ? {
              fact: 'nitrite is still there, so this is a small meal: it only keeps the first group awake',
              source: practice,
            }
          : {
              fact: 'every mg/L turned over adds nearly half a mg/L to what the bacteria can turn over in a day, so a full dose brings them on most; with nitrite gone beforehand it cannot pile up',
              source: 'simulation of the nitrogen model (docs/science/nitrogen.md)',
            },
        amount.note === undefined ? undefined : { fact: amount.note },
      ],
      urgency: unfed > hungryDays ? 'today' : 'soon',
      sure: chanceOf(bearings.draws.ammonia, (value) => value < ammoniaGone),
      holdsWhile: `ammonia is below ${ammoniaGone} and nitrite below ${nitriteForbids} mg/L as N`,
      lookAgain: hoursFrom(bearings, 24),
      cautions: amount.cautions,
    }),
  ];
}

/** Well above the challenge that is to come: what brings a tank on is what it turns over. */
const fullDose = (bearings: Bearings): number =>
  Math.min(sizes.most, Math.max(sizes.full, challengesFed * challengeSize(bearings).mgNPerLitre));

/** Nobody has looked for so long that feeding waits for a test. */
const stale = (bearings: Bearings): boolean => lastReading(bearings, 'ammonia', staleDays) === undefined;

/** A proven tank without animals: small meals keep the proof alive. */
function keepAlive(bearings: Bearings, proof: Proof): Order[] {
  const due = Math.max((proof.lastFed ?? bearings.today) + keepAliveDays, bearings.today);
  const amount = ammoniaAmount(bearings, sizes.keepAlive);
  return [
    order(bearings, {
      key: 'feed:keep',
      do: 'dose',
      when: instantOf(bearings, due),
      what: { substance: amount.substance, ...amountsOf(amount) },
      say: `Until animals come, feed the bacteria every two to three days: ${amount.words}, next on ${dayWords(bearings, instantOf(bearings, due))}.`,
      because: [
        {
          fact: 'without food a filter loses its strength within one to two weeks, and the proof lapses after three days',
          source: 'public-aquarium practice for idle systems',
        },
        amount.note === undefined ? undefined : { fact: amount.note },
      ],
      urgency: due - bearings.today < 0.5 ? 'today' : 'soon',
      holdsWhile: 'the tank is proven and empty',
      lookAgain: instantOf(bearings, due),
      cautions: amount.cautions,
    }),
  ];
}

function waitFor(
  bearings: Bearings,
  analyte: 'ammonia' | 'nitrite' | 'alkalinity',
  said: string,
  because: readonly Reason[],
  until = analyte === 'alkalinity'
    ? null
    : middleBelow(bearings, analyte, analyte === 'nitrite' ? nitriteForbids : ammoniaGone),
): Order {
  const expected = until === null ? '' : `, probably about ${dayWords(bearings, until)}`;
  return order(bearings, {
    key: `feed:wait-${analyte}`,
    do: 'wait',
    what: { until, for: said },
    say: `Do not feed ammonia now: ${said}${expected}.`,
    because,
    urgency: 'whenever',
    sure:
      analyte === 'ammonia'
        ? chanceOf(bearings.draws.ammonia, (value) => value >= ammoniaGone)
        : analyte === 'nitrite'
          ? chanceOf(bearings.draws.nitrite, (value) => value > ammoniaGone)
          : chanceOf(bearings.draws.alkalinity, (value) => value < alkalinityForbids),
    holdsWhile: `${analyte} is not where feeding makes sense`,
    lookAgain: until ?? usualHour(bearings, 1),
  });
}

/** The first day ahead on which the middle estimate falls below a level; null past the horizon. */
function middleBelow(bearings: Bearings, analyte: Nutrient, level: number): string | null {
  const { days, particles, ...levels } = bearings.reckoning.trajectories;
  for (const [index, day] of days.entries()) {
    if (day <= bearings.today) continue;
    const sorted = rowOf(levels[analyte], index, particles).slice().sort();
    if (quantileOfSorted(sorted, 0.5) < level) return instantOf(bearings, day);
  }
  return null;
}

const nitriteSays = (bearings: Bearings): string =>
  `wait until nitrite is below ${levelWords(bearings, 'nitrite', bearings.levels.nitrite.p50 > nitriteForbids ? nitriteForbids : ammoniaGone)}`;

const nitriteReasons = (bearings: Bearings): Reason[] => [
  { fact: `nitrite is ${levelBandWords(bearings, 'nitrite', bearings.levels.nitrite)}` },
  {
    fact: 'feeding again whenever ammonia clears multiplies the nitrite peak five times and hardly moves the end',
    source:
      'simulation of the nitrogen model (docs/science/nitrogen.md); Park & Bae 2009, Process Biochem 44:631',
  },
];

const ammoniaSays = (bearings: Bearings): string =>
  `there is still some for the bacteria to work on; wait until it is below ${levelWords(bearings, 'ammonia', ammoniaGone)}`;

const ammoniaReasons = (bearings: Bearings): Reason[] => [
  { fact: `ammonia is ${levelBandWords(bearings, 'ammonia', bearings.levels.ammonia)}` },
  {
    fact: `again only once it is below ${ammoniaGone} mg/L as N, and never above ${mostAmmonia}`,
    source: practice,
  },
];

const alkalinityReason = ({ levels }: Bearings): Reason => ({
  fact: `alkalinity is about ${figure(levels.alkalinity.p50)} meq/L; below ${alkalinityForbids} the bacteria stop for want of it`,
  source: 'SRAC 4502 (DeLong & Losordo 2012)',
});
