import { readingWords } from '../course/doubts.ts';
import type { Bearings } from '../orders/bearings.ts';
import { order } from '../orders/make.ts';
import type { Order } from '../orders/order.ts';
import { dayMs } from '../situation/situation.ts';

/** Readings this near in time must agree, give or take a factor. */
const nearDays = 0.5;
const apart = 2;
const floor = 0.15;
const recentDays = 3;

/** Two readings of one analyte, hours apart with nothing done between, that cannot both be right: read again. */
export function repeatOrder(bearings: Bearings): Order | undefined {
  const { situation, facts, today } = bearings;
  const { observations, deeds } = situation.problem;
  for (let late = observations.length - 1; late > 0; late--) {
    const b = observations[late]!;
    if (today - b.day > recentDays) break;
    for (let early = late - 1; early >= 0; early--) {
      const a = observations[early]!;
      const readings = [situation.readings[early]!, situation.readings[late]!] as const;
      if (readings[0].analyte !== readings[1].analyte || b.day - a.day > nearDays) continue;
      const disturbed = deeds.some(({ day, kind }) => kind !== 'load' && day >= a.day && day <= b.day);
      const agree =
        a.low * a.dilution <= apart * (b.high * b.dilution + floor) &&
        b.low * b.dilution <= apart * (a.high * a.dilution + floor);
      const repeated = observations.some(
        ({ day }, i) => day > b.day && situation.readings[i]!.analyte === readings[1].analyte,
      );
      if (disturbed || agree || repeated) continue;
      const analyte = readings[1].analyte;
      const kit =
        readings[1].kit ?? [...facts.kits.values()].find((one) => one.analyte === analyte)?.kit ?? null;
      return order(bearings, {
        key: `test:repeat-${analyte}`,
        do: 'test',
        what: { tests: [{ analyte, kit, dilution: 1 }] },
        say: `Read ${analyte} again today, from a fresh sample in a rinsed glass: the last two readings cannot both be right.`,
        because: [
          ...readings.map((reading) => ({
            fact: `it was read ${readingWords(reading)}`,
            entry: reading.entry,
          })),
          {
            fact: `they are ${Math.round((b.day - a.day) * 24 * 60)} minutes apart with nothing done between; act on neither alone`,
            source: 'analytical practice',
          },
        ],
        urgency: 'today',
        holdsWhile: 'two readings contradict each other and no third has been taken',
        lookAgain: new Date(situation.asOf + dayMs).toISOString(),
        cautions: ['CAU-C5'],
      });
    }
  }
  return undefined;
}
