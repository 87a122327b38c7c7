import {
  type Bearings,
  dayWords,
  hoursFrom,
  hoursSince,
  lastReading,
  usualHour,
} from '../orders/bearings.ts';
import { order } from '../orders/make.ts';
import type { Order } from '../orders/order.ts';
import { testOf } from '../orders/test-of.ts';
import { chanceWords, listWords } from '../orders/words.ts';
import { dayMs } from '../situation/situation.ts';

/** Days after an arrival on which ammonia and nitrite are read (TST-07). */
const afterArrivalDays = [1, 2, 3, 5, 7, 14] as const;

/** With animals present tests follow safety, not curiosity. */
export function withAnimals(bearings: Bearings): Order {
  const { animals, asOf, ready } = bearings;
  const last = lastReading(bearings, 'ammonia');
  const { days, why, source } = rhythm(bearings);
  const due = last ? last.at + days * dayMs : asOf;
  const late = due <= asOf;
  const when = late ? hoursFrom(bearings, 0) : snapped(bearings, due);
  const pH = hoursSince(bearings, lastReading(bearings, 'pH')?.at) > 6 * 24;
  const tests = ['ammonia', 'nitrite', ...(pH ? ['pH'] : [])];
  return order(bearings, {
    key: 'test',
    do: 'test',
    when,
    what: { tests: tests.map((analyte) => testOf(bearings, analyte)) },
    say: `Test ${listWords(tests)} ${late ? 'now' : `on ${dayWords(bearings, when)}`}, and look at every animal: count, breathing, appetite.`,
    because: [
      { fact: why, source },
      animals.present && ready < 0.9
        ? { fact: `the chance that the bacteria keep up is ${chanceWords(ready)}` }
        : undefined,
      pH
        ? { fact: 'pH decides how much of the ammonia is poisonous, and was not measured within six days' }
        : undefined,
    ],
    urgency: late
      ? ready < 0.9
        ? 'now'
        : 'today'
      : Date.parse(when) - asOf < 0.75 * dayMs
        ? 'today'
        : 'soon',
    holdsWhile: 'animals are in the water',
    lookAgain: when,
    cautions: ['CAU-C5'],
  });
}

function rhythm({ animals, asOf, ready, situation }: Bearings): {
  days: number;
  why: string;
  source: string;
} {
  const source = 'customary practice';
  if (ready < 0.9)
    return { days: 1, why: 'animals live in water that is not ready: ammonia and nitrite every day', source };
  const age = (asOf - (animals.lastArrival ?? situation.opened)) / dayMs;
  if (age < 14) {
    const next = afterArrivalDays.find((day) => day > age - 0.5) ?? 14;
    const previous = afterArrivalDays.findLast((day) => day < next) ?? 0;
    return {
      days: next - previous,
      why: 'after an arrival ammonia and nitrite are read on days 1, 2, 3, 5, 7 and 14',
      source,
    };
  }
  return age < 90
    ? { days: 7, why: 'in the first three months ammonia and nitrite are read weekly', source }
    : { days: 30, why: 'in a settled tank ammonia and nitrite are read monthly and after any event', source };
}

/** The keeper's testing hour on the day something falls due. */
function snapped(bearings: Bearings, due: number): string {
  const ahead = Math.max(0, Math.floor((due - Date.parse(usualHour(bearings, 0))) / dayMs + 0.5));
  return ahead === 0 && due > bearings.asOf ? new Date(due).toISOString() : usualHour(bearings, ahead);
}
