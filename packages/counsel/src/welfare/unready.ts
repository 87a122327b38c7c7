import { inTen } from '../chances.ts';
import { type Bearings, dayWords, instantOf } from '../orders/bearings.ts';
import { order } from '../orders/make.ts';
import type { Order } from '../orders/order.ts';
import { chanceOf } from '../orders/particles.ts';
import { dayMs } from '../situation/situation.ts';

const readyEnough = 0.9;
/** Days of usual food after which bacteria that were fed little are known to keep up. */
const watchedDays = 7;

/** Where animals stand: in water not ready; in water ready for less than a week, which they came into before; or well. */
export type Footing = 'unready' | 'watched' | 'carried';

export function footingOf({ animals, ready, reckoning, situation, today }: Bearings): Footing {
  if (!animals.present) return 'carried';
  if (ready < readyEnough) return 'unready';
  const { readyDays } = reckoning.trajectories;
  const came = ((situation.facts.arrivals[0]?.at ?? situation.opened) - situation.opened) / dayMs;
  if (chanceOf(readyDays, (day) => day > came) < readyEnough) return 'carried';
  return chanceOf(readyDays, (day) => day <= today - watchedDays) < readyEnough ? 'watched' : 'carried';
}

/** Animals in water that is not ready, or only just: no more of them, little food at first, and never ammonia. */
export function unreadyOrder(bearings: Bearings): Order[] {
  const footing = footingOf(bearings);
  if (footing === 'carried') return [];
  const { ready, reckoning } = bearings;
  const days = reckoning.trajectories.readyDays.slice().sort();
  const likely = days[Math.floor(readyEnough * days.length)] ?? Infinity;
  if (footing === 'watched') return [watchOrder(bearings, likely + watchedDays)];
  return [
    order(bearings, {
      key: 'welfare:unready',
      do: 'wait',
      what: {
        until: likely === Infinity ? null : instantOf(bearings, likely),
        for: 'bacteria that carry the animals already there',
      },
      say: 'Add no more animals yet: feed lightly every second day, take out what is left after five minutes, and bring in a piece of a running, healthy filter or a live culture; never dose ammonia with animals in the water.',
      because: [
        {
          fact: `the chance that the bacteria already carry them is ${inTen(ready)}`,
        },
        {
          fact: 'a fish fed and one fasting differ fourfold in the ammonia they give off',
          source: 'Roopin et al. 2008, excretion of anemonefish',
        },
        {
          fact: 'animals are never needed to start a tank; where they are already there, care for them comes before the start',
        },
      ],
      urgency: 'today',
      sure: 1 - ready,
      holdsWhile: 'animals are present and the bacteria probably do not yet keep up',
      cautions: ['CAU-X1'],
    }),
  ];
}

/** What was fed little has only shown to carry little: a week of usual food shows the rest. */
const watchOrder = (bearings: Bearings, until: number): Order =>
  order(bearings, {
    key: 'welfare:watch',
    do: 'wait',
    what: { until: instantOf(bearings, until), for: 'a week of usual food' },
    say: `Feed as usual again, and add no more animals until ${dayWords(bearings, instantOf(bearings, until))}: bacteria that were fed little have only shown that they carry little. Test ammonia every second day until then.`,
    because: [
      { fact: `the chance that the bacteria carry them is ${inTen(bearings.ready)}, as they were fed` },
      {
        fact: 'a tank whose litres are fewer than written down carries less than it seems to; a week of readings at full food shows it before more animals come',
      },
    ],
    urgency: 'soon',
    sure: bearings.ready,
    holdsWhile: `the water has been ready for less than ${watchedDays} days`,
    lookAgain: instantOf(bearings, bearings.today + 2),
    cautions: ['CAU-X1'],
  });
