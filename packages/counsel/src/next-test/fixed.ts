import type { Bearings } from '../orders/bearings.ts';
import { order } from '../orders/make.ts';
import type { Order } from '../orders/order.ts';
import { testOf } from '../orders/test-of.ts';

/** What a tank is rarely read for and often stands still for want of: read once, early. */
export function baseline(bearings: Bearings): Order[] {
  const { facts } = bearings;
  const never = (analyte: string): boolean => !facts.readings.some((reading) => reading.analyte === analyte);
  return [
    ...(never('alkalinity') ? [alkalinityOnce(bearings)] : []),
    ...(never('temperature') ? [temperatureOnce(bearings)] : []),
  ];
}

function alkalinityOnce(bearings: Bearings): Order {
  const test = testOf(bearings, 'alkalinity');
  return order(bearings, {
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
  });
}

const temperatureOnce = (bearings: Bearings): Order =>
  order(bearings, {
    key: 'test:temperature',
    do: 'test',
    what: { tests: [testOf(bearings, 'temperature')] },
    say: 'Read the water’s temperature once with a thermometer, not off the heater’s dial, and write it down.',
    because: [
      {
        fact: 'bacteria grow half as fast at 18 °C as at 27, and a dial is easily some degrees off',
        source: 'Q10 near 2; customary practice',
      },
    ],
    urgency: 'soon',
    holdsWhile: 'temperature has never been read',
    cautions: ['CAU-E1'],
  });

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
