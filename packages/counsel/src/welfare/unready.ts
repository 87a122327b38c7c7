import { type Bearings, instantOf } from '../orders/bearings.ts';
import { order } from '../orders/make.ts';
import type { Order } from '../orders/order.ts';
import { chanceWords } from '../orders/words.ts';

const readyEnough = 0.9;

/** Animals in water that is not ready: no more of them, little food, help from a running filter, never ammonia. */
export function unreadyOrder(bearings: Bearings): Order[] {
  const { animals, ready, reckoning } = bearings;
  if (!animals.present || ready >= readyEnough) return [];
  const days = reckoning.trajectories.readyDays.slice().sort();
  const likely = days[Math.floor(readyEnough * days.length)] ?? Infinity;
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
          fact: `the chance that the bacteria already carry them is ${chanceWords(ready)}`,
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
