import type { Order } from '@brinewright/counsel';
import { foldTank } from '@brinewright/journal';
import { describe, expect, it } from 'vitest';
import { Answers, DEEDS } from '../src/bench/deeds.ts';
import { DEMONSTRATION, plantDemonstration } from '../src/demo/plant.ts';
import { datesIn } from '../src/format/dates.ts';
import { printFor } from '../src/format/print.ts';
import { dueWords } from '../src/orders/due.ts';
import { benchStart } from '../src/orders/to-bench.ts';

const now = Date.parse('2026-11-24T20:00:00Z');
const dates = datesIn('en-GB', 'UTC');
const litres = printFor({ volume: 'L', temperature: '°C', locale: 'en-GB' });
const gallons = printFor({ volume: 'gal', temperature: '°F', locale: 'en-US' });
const facts = foldTank(plantDemonstration(now), DEMONSTRATION);

const order = <D extends Order['do']>(
  what: Extract<Order, { do: D }>['what'],
  kind: D,
  rest: Partial<Order> = {},
): Order =>
  ({
    key: kind,
    do: kind,
    when: '2026-11-24T20:00:00Z',
    what,
    say: '',
    because: [],
    urgency: 'soon',
    sure: null,
    holdsWhile: '',
    lookAgain: '2026-11-25T20:00:00Z',
    cautions: [],
    ...rest,
  }) as Order;

const wait = (when: string, rest: Partial<Order> = {}) => order({ tests: [] }, 'test', { when, ...rest });

describe('when an order is due', () => {
  it.each([
    [wait('2026-11-27T09:00:00Z', { urgency: 'now' }), 'Now'],
    [wait('2026-11-24T08:00:00Z'), 'Today'],
    [wait('2026-11-24T23:00:00Z'), 'Today'],
    [wait('2026-11-27T09:00:00Z'), 'Friday'],
    [wait('2026-12-24T09:00:00Z'), 'Not before 24 Dec'],
    [order({ until: '2026-12-02T09:00:00Z', for: '' }, 'wait'), 'Until 2 Dec'],
    [order({ until: null, for: '' }, 'wait'), 'For now'],
  ])('%#', (given, said) => {
    expect(dueWords(given, now, dates)).toBe(said);
  });
});

describe('an order on the bench', () => {
  const change = { litres: 50, share: 0.25, times: 1, salinity: 34.5, temperatureC: 25, saltGrams: null };

  it('sets the dilution of the kit it names, and of no kit that is not there', () => {
    const tests = [
      { analyte: 'nitrite', kit: 'nitrite-card', dilution: 5 },
      { analyte: 'nitrate', kit: 'gone', dilution: 2 },
      { analyte: 'ammonia', kit: null, dilution: 2 },
    ];
    const start = benchStart(order({ tests }, 'test'), facts, litres);
    expect(start?.place).toBe('tests');
    expect(Object.keys(start?.draft.picks ?? {})).toEqual(['nitrite-card']);
    expect(start?.draft.picks?.['nitrite-card']?.dilution).toBe('5');
  });

  it('comes back from the form as the amount that was ordered, in whatever unit the reader writes', () => {
    const exchange = DEEDS.find(({ kind }) => kind === 'exchange')!;
    for (const print of [litres, gallons]) {
      const values = benchStart(order(change, 'exchange'), facts, print)?.draft.deeds?.exchange ?? {};
      const body = exchange.body(new Answers(exchange.fields, values), print) as {
        litres: number;
        temperatureC: number;
      };
      expect(body.litres).toBeCloseTo(50, 0);
      expect(body.temperatureC).toBeCloseTo(25, 1);
    }
  });

  it('is a share of the water where the litres are not known', () => {
    const start = benchStart(order({ ...change, litres: null }, 'exchange'), facts, litres);
    expect(start?.draft.deeds?.exchange).toMatchObject({ sizeAs: 'fraction', share: '25' });
  });

  it('leaves nothing to write down for waiting', () => {
    expect(benchStart(order({ until: null, for: '' }, 'wait'), facts, litres)).toBeUndefined();
  });
});
