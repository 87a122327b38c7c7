import { inTen } from '../chances.ts';
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
import { listWords } from '../orders/words.ts';
import { dayMs } from '../situation/situation.ts';
import { keepsUp } from '../welfare/ammonia.ts';
import type { Exposure } from '../welfare/exposure.ts';
import { limitsFor } from '../welfare/limits.ts';
import { type Footing, footingOf } from '../welfare/unready.ts';

/**
 * Nitrite harms marine animals only far above what a start shows, and moves slowly: hours after which it is read again,
 * and where it may be half-way to their limit or the water may be ready.
 */
const nitriteEveryHours = { usual: 4.5 * 24, close: 2.5 * 24 } as const;
const mayBeReady = 0.3;
/** Hours for which a pH speaks, and for which one will do where ammonia is low even at a high pH. */
const pHHoldsHours = { usual: 6 * 24, calm: 13 * 24 } as const;
const limitsSource = 'limits of nitrite in sea water (docs/science/advice.md)';
/** Days after an arrival on which ammonia and nitrite are read (TST-07). */
const afterArrivalDays = [1, 2, 3, 5, 7, 14] as const;

/** With animals present tests follow safety, not curiosity. */
export function withAnimals(bearings: Bearings, exposure: Exposure): Order {
  const { asOf, ready } = bearings;
  const footing = footingOf(bearings);
  const last = lastReading(bearings, 'ammonia');
  const calm = keepsUp(bearings, exposure);
  const { days, why, source, often = false } = rhythm(bearings, footing, calm);
  const due = last ? last.at + days * dayMs : asOf;
  const late = due <= asOf;
  const when = late ? hoursFrom(bearings, 0) : snapped(bearings, due);
  const pH =
    hoursSince(bearings, lastReading(bearings, 'pH')?.at) > (calm ? pHHoldsHours.calm : pHHoldsHours.usual);
  const nitrite = !often || nitriteWanted(bearings);
  const tests = ['ammonia', ...(nitrite ? ['nitrite'] : []), ...(pH ? ['pH'] : [])];
  return order(bearings, {
    key: 'test',
    do: 'test',
    when,
    what: { tests: tests.map((analyte) => testOf(bearings, analyte)) },
    say: `Test ${listWords(tests)} ${late ? 'now' : `on ${dayWords(bearings, when)}`}, and look at every animal: count, breathing, appetite.`,
    because: [
      { fact: why, source },
      footing === 'unready' ? { fact: `the chance that the bacteria keep up is ${inTen(ready)}` } : undefined,
      nitrite
        ? undefined
        : {
            fact: 'leave nitrite out today: it is far below what would harm them, and every third to fifth day is enough to follow it',
            source: limitsSource,
          },
      pH
        ? { fact: 'pH decides how much of the ammonia is poisonous, and was not measured lately' }
        : undefined,
    ],
    urgency: late
      ? footing === 'unready'
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

/** Whether nitrite may be above what is no concern for the animals there, or was not read for days. */
function nitriteWanted(bearings: Bearings): boolean {
  const { animals, salinity, levels, ready } = bearings;
  const okMax = Math.min(...limitsFor('no2_n', animals, salinity).map(({ row }) => row.okMax ?? Infinity));
  const hours = hoursSince(bearings, lastReading(bearings, 'nitrite')?.at);
  const close = ready > mayBeReady || levels.nitrite.p95 > okMax / 2;
  return hours > (close ? nitriteEveryHours.close : nitriteEveryHours.usual) || levels.nitrite.p95 > okMax;
}

function rhythm(
  { animals, asOf, situation }: Bearings,
  footing: Footing,
  calm: boolean,
): {
  days: number;
  why: string;
  source: string;
  /** Daily, so that not everything has to be read each time. */
  often?: boolean;
} {
  const source = 'customary practice';
  if (footing === 'unready')
    return {
      days: calm ? 2 : 1,
      why: calm
        ? 'animals live in water that is not ready, but ammonia surely stays below half of what is no concern for them: every second day'
        : 'animals live in water that is not ready: ammonia every day',
      source,
      often: true,
    };
  if (footing === 'watched')
    return {
      days: 2,
      why: 'the water has only just become ready with animals in it: ammonia every second day for a week of usual food',
      source,
      often: true,
    };
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
