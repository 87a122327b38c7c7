import type { Bearings } from '../orders/bearings.ts';
import { order } from '../orders/make.ts';
import type { Order } from '../orders/order.ts';
import { testOf } from '../orders/test-of.ts';

/** Alkalinity is read once early: the bacteria use it up, and no other test shows how much there was. */
export function baseline(bearings: Bearings): Order[] {
  const { facts } = bearings;
  if (facts.readings.some(({ analyte }) => analyte === 'alkalinity')) return [];
  const test = testOf(bearings, 'alkalinity');
  return [
    order(bearings, {
      key: 'test:alkalinity',
      do: 'test',
      what: { tests: [test] },
      say: 'Read alkalinity once in these days, and write it down.',
      because: [
        {
          fact: 'turning over 2 mg/L of ammonia nitrogen uses 0.29 meq/L; a tank that begins low stops half-way and no other test shows it',
          source: 'SRAC 4502 (DeLong & Losordo 2012)',
        },
        test.kit === null ? { fact: 'the journal describes no kit for it; any will do' } : undefined,
      ],
      urgency: 'soon',
      holdsWhile: 'alkalinity has never been read',
      cautions: ['CAU-C5'],
    }),
  ];
}

/** The first dose is checked within hours: the rise tells whether litres and strength are right (R-RTE-3). */
export function doseCheck(bearings: Bearings): Order | undefined {
  const { facts, asOf } = bearings;
  const doses = facts.doses.filter(
    ({ substance }) => substance === 'ammonium-chloride' || substance === 'ammonia-solution',
  );
  const first = doses[0];
  if (!first || doses.length > 1 || asOf - first.at > 12 * 3_600_000) return undefined;
  if (facts.readings.some(({ analyte, at }) => analyte === 'ammonia' && at >= first.at)) return undefined;
  const when = new Date(Math.max(first.at + 3_600_000, asOf)).toISOString();
  return order(bearings, {
    key: 'test:first-dose',
    do: 'test',
    when,
    what: { tests: [testOf(bearings, 'ammonia')] },
    say: 'Test ammonia an hour after the dose, once it has mixed: the rise tells whether litres and strength are right.',
    because: [
      {
        fact: 'a reading outside three quarters to four thirds of what was aimed at means the litres or the strength are wrong',
        entry: first.entry,
        source: 'conservation of mass',
      },
    ],
    urgency: 'today',
    holdsWhile: 'the first dose is fresh and unread',
    cautions: ['CAU-C5'],
  });
}
