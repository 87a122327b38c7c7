import { describe, expect, it } from 'vitest';
import type { Order } from '../../src/index.ts';
import {
  culture,
  dose,
  facts,
  fish,
  keysOf,
  type Line,
  note,
  ordersOn,
  read,
  start,
  the,
  water,
} from './station.ts';

/** Journals as beginners leave them behind, each with what a calm neighbour would say to it. */

/** Milliseconds a test may take on a busy machine; alone each is done in about one second. */
const patience = 60_000;

/** Every sentence a keeper would read. */
const said = (orders: readonly Order[]): string => orders.map(({ say }) => say).join('\n');
const fedOrTried = (orders: readonly Order[]): boolean =>
  orders.some((order) => order.do === 'dose' || order.do === 'prove');

describe('a tank that was fed and never looked at', { timeout: patience }, () => {
  const orders = ordersOn(3, [water, dose(0, 400), culture]);

  it('is read first, with whatever kit there is', () => {
    const test = the(orders, 'test');
    expect(test.what.tests.map(({ analyte, kit }) => [analyte, kit])).toEqual([
      ['ammonia', null],
      ['nitrite', null],
    ]);
    expect(test.say).toContain('nobody has read its water yet');
    expect(fedOrTried(orders)).toBe(false);
  });
});

describe('a keeper who wrote down no kit', { timeout: patience }, () => {
  const orders = ordersOn(9, [
    water,
    dose(0, 400),
    culture,
    [4, 'reading', { analyte: 'ammonia', as: 'NH4', value: 2.5 }],
    [8, 'reading', { analyte: 'nitrite', as: 'NO2', value: 1 }],
  ]);

  it('is answered in their own ion, and asked once what their card shows', () => {
    expect(said(orders)).toContain('as NH4');
    expect(facts(the(orders, 'test'))).toContain('describe yours once');
  });
});

describe('two readings that cannot both be right', { timeout: patience }, () => {
  const orders = ordersOn(8.1, [
    ...start,
    dose(0, 400),
    culture,
    read(4, 'ammonia', 2),
    read(8, 'ammonia', 0),
    read(8.02, 'ammonia', 4),
  ]);

  it('are read again before anything is done on either', () => {
    const again = orders.find(({ key }) => key === 'test:repeat-ammonia');
    expect(again?.urgency).toBe('today');
    expect(again?.say).toContain('cannot both be right');
    expect(again?.because.filter(({ entry }) => entry !== undefined)).toHaveLength(2);
    expect(fedOrTried(orders)).toBe(false);
  });
});

describe('fish on the first day, and ammonia poured beside them', { timeout: patience }, () => {
  const orders = ordersOn(2, [...start, fish(0.1, 3), dose(0.2, 200), read(1.9, 'ammonia', 1)]);

  it('are never fed ammonia again, and more of them have to wait', () => {
    expect(fedOrTried(orders)).toBe(false);
    expect(orders.some((order) => order.do === 'stock')).toBe(false);
    expect(said(orders)).toContain('never dose ammonia with animals in the water');
  });

  it('get water changed or looked at before anything else is said', () => {
    expect(orders[0]?.key).toMatch(/^welfare:/);
    expect(['now', 'today']).toContain(orders[0]?.urgency);
  });
});

describe('a dose worked out in the wrong ion', { timeout: patience }, () => {
  // Four times what was meant: milligrams of the salt taken for milligrams of nitrogen.
  const orders = ordersOn(0.3, [
    ...start,
    dose(0, 400),
    read(0.05, 'ammonia', 8),
    read(0.2, 'ammonia', 8, { dilution: 1 }),
  ]);

  it('is noticed by the rise, and no more goes in', () => {
    expect(fedOrTried(orders)).toBe(false);
    expect(said(orders)).toMatch(/more ammonia than helps|litres|strength/);
  });
});

describe('a month of silence', { timeout: patience }, () => {
  const orders = ordersOn(38, [
    ...start,
    dose(0, 400),
    culture,
    read(0.1, 'ammonia', 2),
    read(7, 'nitrite', 0.5),
  ]);

  it('is broken by a look at both, and nothing is poured on a guess', () => {
    const test = the(orders, 'test');
    expect(test.say).toContain('nobody has looked for long');
    expect(test.what.tests.map(({ analyte }) => analyte)).toEqual(['ammonia', 'nitrite']);
    expect(facts(test)).toMatch(/the last test was \d+ days ago/);
    expect(fedOrTried(orders)).toBe(false);
  });
});

/** Both read clear, after a start like most, and a passed run. */
const nearlyThere: readonly Line[] = [
  ...start,
  dose(0, 400),
  culture,
  read(0.05, 'ammonia', 2),
  read(8, 'ammonia', 1),
  read(8, 'nitrite', 2),
  read(14, 'ammonia', 0),
  read(14, 'nitrite', 5),
  read(20, 'ammonia', 0),
  read(20, 'nitrite', 0),
  dose(20.1, 100),
  read(21.1, 'ammonia', 0),
  read(21.1, 'nitrite', 0),
];

describe('a power cut', { timeout: patience }, () => {
  it('in an empty tank takes back what was proven, and says by which note', () => {
    const before = ordersOn(21.2, nearlyThere);
    const orders = ordersOn(22.2, [
      ...nearlyThere,
      note(22, 'Power cut since last night, pumps off for ten hours'),
    ]);
    const next = orders.find((order) => order.do === 'prove' || order.do === 'dose');
    expect(before.find((order) => order.do === 'prove')?.what).toMatchObject({ run: 2 });
    expect(next).toBeDefined();
    if (next?.do === 'prove') expect(next.what.run).toBe(1);
    expect(orders.some((order) => order.do === 'stock')).toBe(false);
  });

  it('with fish is met with air before anything is tested', () => {
    const orders = ordersOn(30, [
      ...start,
      fish(10),
      read(29, 'ammonia', 0),
      note(29.9, 'no power since noon'),
    ]);
    expect(orders[0]).toMatchObject({ key: 'welfare:power-cut', urgency: 'now' });
    expect(orders[0]?.say).toContain('air by battery first');
  });
});

describe('a move to another house', { timeout: patience }, () => {
  it('has the bacteria proven anew before animals come', () => {
    const orders = ordersOn(23, [
      ...nearlyThere,
      dose(21.2, 100),
      read(22.2, 'ammonia', 0),
      read(22.2, 'nitrite', 0),
      note(22.5, 'moved house today, rock travelled wet'),
    ]);
    expect(orders.some((order) => order.do === 'stock')).toBe(false);
    const next = the(orders, 'prove');
    expect(next.what.run).toBe(1);
    expect(next.because[0]?.fact).toContain('moved house today');
  });
});

describe('a cold room', { timeout: patience }, () => {
  const cold = ordersOn(5, [
    ...start,
    dose(0, 400),
    culture,
    read(2, 'ammonia', 2),
    [4.5, 'reading', { analyte: 'temperature', value: 19.5 }],
  ]);
  const unknown = ordersOn(5, [...start, dose(0, 400), culture, read(2, 'ammonia', 2)]);

  it('is looked for once with a thermometer, and warmed where it was found', () => {
    expect(unknown.find(({ key }) => key === 'test:temperature')?.say).toContain('not off the heater’s dial');
    expect(keysOf(unknown)).not.toContain('warm');
    expect(cold.find(({ key }) => key === 'warm')?.say).toContain('Warm the water from 20 to 25–28 °C');
    expect(keysOf(cold)).not.toContain('test:temperature');
  });
});

describe('a start that takes for ever', { timeout: patience }, () => {
  const still: readonly Line[] = [
    ...start,
    [0, 'tank', { route: 'salt' }],
    dose(0, 400),
    read(0.05, 'ammonia', 2),
    ...[8, 15, 22].flatMap((day) => [read(day, 'ammonia', 2), read(day, 'nitrite', 0)]),
  ];

  it('is offered living bacteria after ten days, once, and may wait without', () => {
    expect(keysOf(ordersOn(8.1, still))).not.toContain('culture');
    const offer = ordersOn(15.1, still).find(({ key }) => key === 'culture');
    expect(offer?.say).toContain('a piece of media from a running, healthy tank');
    expect(offer?.say).toContain('Waiting does as well');
    const given = ordersOn(23, [...still, [22.5, 'culture', { source: 'bottled' }]]);
    expect(keysOf(given)).not.toContain('culture');
  });
});

describe('what every beginner reads', { timeout: patience }, () => {
  const lives = [
    ordersOn(3, [water, dose(0, 400)]),
    ordersOn(21.2, nearlyThere),
    ordersOn(2, [...start, fish(0.1, 3), read(1.9, 'ammonia', 1)]),
  ].flat();

  it('is one sentence or two with a verb, no symbol of the model, and a reason behind it', () => {
    for (const { say, because, holdsWhile } of lives) {
      expect(say).toMatch(/^[A-Z].*[.]$/s);
      expect(say).not.toMatch(/NaN|undefined|null|Infinity|posterior|particle|likelihood/i);
      expect(because.length).toBeGreaterThan(0);
      expect(holdsWhile.length).toBeGreaterThan(5);
    }
  });
});
