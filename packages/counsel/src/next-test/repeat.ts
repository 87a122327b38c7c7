import type { Observation } from '@brinewright/evidence';
import type { ReadingBody, Stamped } from '@brinewright/journal';
import { readingWords } from '../course/doubts.ts';
import type { Bearings } from '../orders/bearings.ts';
import { order } from '../orders/make.ts';
import type { Order } from '../orders/order.ts';
import { dayMs } from '../situation/situation.ts';

/** Readings this near in time must agree, give or take a factor and a little, mg/L as N. */
const nearDays = 0.5;
const apart = 2;
const floor = 0.15;
/** Days for which a contradiction is worth settling. */
const recentDays = 3;

interface Taken {
  readonly seen: Observation;
  readonly reading: Stamped<ReadingBody>;
}

/** Two readings of one analyte, hours apart with nothing done between, that cannot both be right: read again. */
export function repeatOrder(bearings: Bearings): Order | undefined {
  for (const analyte of ['ammonia', 'nitrite'] as const) {
    const [earlier, later] = lastTwo(bearings, analyte);
    if (earlier && later && contradict(bearings, earlier, later)) return readAgain(bearings, earlier, later);
  }
  return undefined;
}

function lastTwo({ situation }: Bearings, analyte: string): Taken[] {
  return situation.problem.observations
    .map((seen, index): Taken => ({ seen, reading: situation.readings[index]! }))
    .filter(({ reading }) => reading.analyte === analyte)
    .slice(-2);
}

function contradict({ situation, today }: Bearings, { seen: a }: Taken, { seen: b }: Taken): boolean {
  if (today - b.day > recentDays || b.day - a.day > nearDays) return false;
  const disturbed = situation.problem.deeds.some(
    ({ day, kind }) => kind !== 'load' && day >= a.day && day <= b.day,
  );
  const above = (one: Observation, other: Observation): boolean =>
    one.low * one.dilution > apart * (other.high * other.dilution + floor);
  return !disturbed && (above(a, b) || above(b, a));
}

function readAgain(bearings: Bearings, earlier: Taken, later: Taken): Order {
  const { analyte, kit } = later.reading;
  const minutes = Math.round((later.seen.day - earlier.seen.day) * 24 * 60);
  return order(bearings, {
    key: `test:repeat-${analyte}`,
    do: 'test',
    what: { tests: [{ analyte, kit: kit ?? null, dilution: 1 }] },
    say: `Read ${analyte} again today, from a fresh sample in a rinsed glass: the last two readings cannot both be right.`,
    because: [
      ...[earlier, later].map(({ reading }) => ({
        fact: `it was read ${readingWords(reading)}`,
        entry: reading.entry,
      })),
      {
        fact: `they are ${minutes} minutes apart with nothing done between; act on neither alone`,
        source: 'analytical practice',
      },
    ],
    urgency: 'today',
    holdsWhile: 'two readings contradict each other and no third has been taken',
    lookAgain: new Date(bearings.asOf + dayMs).toISOString(),
    cautions: ['CAU-C5'],
  });
}
