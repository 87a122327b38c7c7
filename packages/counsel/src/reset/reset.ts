import { asNitrogen, fromNitrogen } from '@brinewright/journal';
import { changesToTarget } from '../mixing/exchange.ts';
import { type Bearings, hoursFrom } from '../orders/bearings.ts';
import { exchangeSize, exchangeWords } from '../orders/exchange-size.ts';
import { order } from '../orders/make.ts';
import type { ExchangeSize, Order } from '../orders/order.ts';
import { chanceOf } from '../orders/particles.ts';
import { figure, levelBandWords, levelWords } from '../orders/words.ts';
import type { Proof } from '../readiness/proof.ts';

/** mg/L as NO3 above which nitrate is lowered before animals come, and what it is lowered to. */
const resetAboveNO3 = 40;
const goalNO3 = 20;
/** Most of the water changed at once in an empty tank. */
const mostShare = 0.8;
/** Levels at which a start-up is diluted rather than waited out, mg N/L (R-RTE-7), and what it is diluted to. */
const excess = { ammonia: { above: 5, to: 2 }, nitrite: { above: 10, to: 4 } } as const;

/** The one large change after the proof that brings nitrate down, sized and with its salt. */
export function resetOrders(bearings: Bearings, proof: Proof): Order[] {
  const now = bearings.levels.nitrate;
  const above = asNitrogen(resetAboveNO3, 'NO3');
  if (proof.state !== 'proven' || bearings.animals.present || now.p50 <= above) return [];
  const goal = asNitrogen(goalNO3, 'NO3');
  const size = sizeTo(bearings, now.p50, goal);
  return [
    order(bearings, {
      key: 'reset',
      do: 'exchange',
      what: size,
      say: `Before animals come, change ${exchangeWords(size)}${size.times > 1 ? `, ${size.times} times` : ''}, to bring nitrate to about ${levelWords(bearings, 'nitrate', goal)}; measure it the day after.`,
      because: [
        { fact: `nitrate is ${levelBandWords(bearings, 'nitrate', now)}` },
        {
          fact: `up to ${resetAboveNO3} mg/L as NO3 is no concern for fish; corals want 1–20`,
          source: 'Jepson, Exotic Animal Medicine, chapter 13; customary practice for corals',
        },
        { fact: 'the bacteria sit on surfaces: a change of water takes hardly any of them' },
      ],
      urgency: 'soon',
      sure: chanceOf(bearings.draws.nitrate, (value) => value > above),
      holdsWhile: `nitrate is above ${resetAboveNO3} mg/L as NO3 in a proven, empty tank`,
      lookAgain: hoursFrom(bearings, 24),
      cautions: ['CAU-E3', 'CAU-E4', 'CAU-W1', 'CAU-W2'],
    }),
  ];
}

function sizeTo(bearings: Bearings, now: number, goal: number): ExchangeSize {
  const times = 1 - goal / now > mostShare ? 2 : 1;
  const exact = (value: number) => ({ value, sd: 0 });
  const plan = changesToTarget({
    litres: bearings.litres ?? exact(100),
    now: { nitrate: exact(now) },
    fresh: { nitrate: exact(0) },
    target: exact(goal),
    count: times,
    temperatureC: exact(bearings.temperatureC),
    newSalinity: exact(bearings.salinity),
  });
  const share = (plan.results.find(({ name }) => name === 'share')?.value ?? 50) / 100;
  return exchangeSize(bearings, share, times);
}

/** A start-up overdosed, or with nitrite beyond what the second group can work in, is diluted. */
export function excessOrders(bearings: Bearings): Order[] {
  if (bearings.animals.present) return [];
  return (['ammonia', 'nitrite'] as const).flatMap((analyte): Order[] => {
    const { above, to } = excess[analyte];
    const level = bearings.levels[analyte];
    const sure = chanceOf(bearings.draws[analyte], (value) => value > above);
    if (sure < 0.5) return [];
    const size = exchangeSize(bearings, Math.min(mostShare, 1 - to / level.p50));
    return [
      order(bearings, {
        key: `excess:${analyte}`,
        do: 'exchange',
        what: size,
        say: `There is more ${analyte} than helps: change ${exchangeWords(size)}, add no ammonia, and test ${analyte} again the day after, diluted if it is off the card.`,
        because: [
          {
            fact: `${analyte} is ${levelBandWords(bearings, analyte, level)}; above ${above} mg/L as N it slows the bacteria`,
            source:
              analyte === 'ammonia'
                ? 'Anthonisen et al. 1976, J Water Pollut Control Fed 48:835'
                : 'Park & Bae 2009, Process Biochem 44:631',
          },
          {
            fact: `as ${analyte === 'nitrite' ? 'NO2' : 'NH4'} that is ${figure(fromNitrogen(level.p50, analyte === 'nitrite' ? 'NO2' : 'NH4'))} mg/L`,
          },
        ],
        urgency: 'today',
        sure,
        holdsWhile: `${analyte} is above ${above} mg/L as N`,
        lookAgain: hoursFrom(bearings, 24),
        cautions: ['CAU-E3', 'CAU-E4', 'CAU-W1'],
      }),
    ];
  });
}
