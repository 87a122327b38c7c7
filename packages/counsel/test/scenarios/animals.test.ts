import { describe, expect, it } from 'vitest';
import { changes } from '../../src/index.ts';
import {
  entryId,
  facts,
  fish,
  instant,
  keysOf,
  type Line,
  measured,
  note,
  ordersOn,
  read,
  start,
  the,
} from './station.ts';

const neverInDanger = /bicarbonate|raise alkalinity/i;

/** Milliseconds a test may take on a busy machine; alone each is done in about one second. */
const patience = 30_000;

describe('animals on the first day', { timeout: patience }, () => {
  const orders = ordersOn(1, [...start, fish(0.2, 4), read(0.9, 'ammonia', 0)]);

  it('are looked after before the start: no ammonia, no more of them, help from a running filter', () => {
    expect(orders.some((order) => order.do === 'dose' || order.do === 'prove' || order.do === 'stock')).toBe(
      false,
    );
    const wait = orders.find(({ key }) => key === 'welfare:unready');
    expect(wait?.urgency).toBe('today');
    expect(wait?.say).toContain('Add no more animals');
    expect(wait?.say).toContain('never dose ammonia');
  });

  it('have ammonia, nitrite and the missing pH read within the day', () => {
    const test = the(orders, 'test');
    expect(test.what.tests.map(({ analyte }) => analyte)).toEqual(['ammonia', 'nitrite', 'pH']);
    expect(Date.parse(test.when)).toBeLessThanOrEqual(Date.parse(instant(2)));
  });
});

describe('ammonia that hurts', { timeout: patience }, () => {
  const sick: readonly Line[] = [
    ...start,
    fish(0.2, 6),
    read(3, 'ammonia', 0.5),
    measured(4.9, 'pH', 8.2),
    read(4.5, 'ammonia', 2),
    read(5, 'ammonia', 2),
  ];
  const orders = ordersOn(5, sick);
  const [first] = orders;

  it('comes before everything else', () => {
    expect(first).toMatchObject({ do: 'emergency', key: 'welfare:ammonia', urgency: 'now' });
  });

  it('is met with air, no food and a change sized now, matched, with its salt, and a test within the hour', () => {
    const { what, say } = the(orders, 'emergency');
    expect(what).toMatchObject({ stopFeeding: true, aerate: true, retestAfterHours: 1 });
    expect(what.exchange).toMatchObject({ share: 0.5, salinity: 35, temperatureC: 25 });
    expect(what.exchange.litres).toBeCloseTo(100, -1);
    expect(what.exchange.saltGrams).toBeGreaterThan(3400);
    expect(what.exchange.times).toBeGreaterThan(1);
    expect(say).toContain('stop feeding');
    expect(say).toContain('anything dead');
  });

  it('says by which limit, from which reading of pH, and that pH must not be raised', () => {
    const said = facts(the(orders, 'emergency'));
    expect(said).toContain('0.05 an emergency');
    expect(said).toContain('raising pH makes more of the ammonia poisonous');
    expect(the(orders, 'emergency').because.some(({ entry }) => entry === entryId(7))).toBe(true);
    expect(orders.some(({ do: does, say }) => does === 'buffer' || neverInDanger.test(say))).toBe(false);
  });

  it('sets other advice aside and says so', () => {
    const { withdrawn } = changes(ordersOn(1, sick), orders);
    for (const { why } of withdrawn) expect(why).toMatch(/urgent now|no longer so/);
  });

  it('is judged at a high pH where nobody measured it', () => {
    const said = facts(
      the(
        ordersOn(
          5,
          sick.filter(([, , body]) => !('analyte' in body && body.analyte === 'pH')),
        ),
        'emergency',
      ),
    );
    expect(said).toContain('8.3 is assumed');
  });

  it('is worked out in shares where the litres are not known', () => {
    const orders = ordersOn(5, [[0, 'tank', { name: 'Holm', salinity: 35 }], ...sick.slice(1)]);
    const { exchange } = the(orders, 'emergency').what;
    expect(exchange.litres).toBeNull();
    expect(exchange.share).toBe(0.5);
  });

  it('keeps seahorses fed, at half', () => {
    const orders = ordersOn(5, [
      ...start,
      [0.2, 'arrival', { animals: [{ class: 'seahorse', count: 2 }] }],
      ...sick.filter(([, kind]) => kind === 'reading'),
    ]);
    expect(the(orders, 'emergency').what.stopFeeding).toBe(false);
    expect(the(orders, 'emergency').say).toContain('feed half');
  });
});

describe('ammonia that is harmless', { timeout: patience }, () => {
  it('of one faint first step at a low pH is no emergency', () => {
    const orders = ordersOn(30, [
      ...start,
      [0, 'tank', { route: 'mature-media' }],
      [0, 'culture', { source: 'mature-media' }],
      fish(20, 2),
      ...[21, 23, 26].flatMap((day) => [read(day, 'ammonia', 0), read(day, 'nitrite', 0)]),
      read(29.9, 'ammonia', 0.25),
      measured(29.9, 'pH', 7.9),
    ]);
    expect(orders.some((order) => order.do === 'emergency' || order.do === 'exchange')).toBe(false);
  });
});

describe('animals in water that is coming to', { timeout: patience }, () => {
  const days = Array.from({ length: 20 }, (_, i) => i + 1);
  const nitrite = (day: number): number => (day < 8 ? 0 : day < 24 ? 1 : 0);
  const readAs = (ammonia: number): readonly Line[] => [
    ...start,
    [0, 'culture', { source: 'mature-media' }],
    fish(0.2, 2),
    measured(1, 'pH', 8),
    ...days.flatMap((day) => [read(day, 'ammonia', ammonia), read(day, 'nitrite', nitrite(day))]),
    measured(19, 'pH', 8),
  ];
  const early = readAs(0);

  it('have ammonia read daily, and nitrite only every third to fifth day while it is far from harm', () => {
    const test = the(ordersOn(20.2, readAs(0.25)), 'test');
    expect(test.what.tests.map(({ analyte }) => analyte)).toEqual(['ammonia']);
    expect(Date.parse(test.when)).toBeLessThanOrEqual(Date.parse(instant(21.2)));
    expect(facts(test)).toContain('leave nitrite out today');
  });

  it('have ammonia read every second day where it surely stays far below what harms them', () => {
    const test = the(ordersOn(20.2, early), 'test');
    expect(Date.parse(test.when)).toBeGreaterThan(Date.parse(instant(21.5)));
    expect(Date.parse(test.when)).toBeLessThanOrEqual(Date.parse(instant(22.2)));
    expect(facts(test)).toContain('below half of what is no concern');
  });

  it('are watched for a week of usual food once it is ready', () => {
    const more = Array.from({ length: 10 }, (_, i) => i + 21);
    const later: readonly Line[] = [
      ...early,
      ...more.flatMap((day) => [read(day, 'ammonia', 0), read(day, 'nitrite', nitrite(day))]),
      measured(27, 'pH', 8),
    ];
    const keys = (day: number): string[] => keysOf(ordersOn(day, later));
    expect(keys(21.1)).toContain('welfare:unready');
    const from = more.find((day) => keys(day + 0.1).includes('welfare:watch')) ?? 0;
    const watched = ordersOn(from + 0.1, later);
    const watch = watched.find(({ key }) => key === 'welfare:watch');
    expect(watch?.say).toContain('Feed as usual again');
    expect(watch?.say).toContain('add no more animals until');
    expect(keysOf(watched)).not.toContain('welfare:unready');
  });
});

describe('what notes tell', { timeout: patience }, () => {
  it('puts air before every chemistry rule when animals gasp', () => {
    const orders = ordersOn(5, [...start, fish(0.2, 2), note(4.9, 'two fish gasping at the surface')]);
    expect(orders[0]).toMatchObject({ key: 'welfare:gasping', urgency: 'now' });
    expect(orders[0]?.say).toContain('air and surface movement first');
  });

  it('thinks of the filter and the animals in a power cut', () => {
    const orders = ordersOn(5, [...start, fish(0.2, 2), note(4.9, 'power cut since noon')]);
    expect(orders[0]?.say).toContain('air by battery first, do not feed');
  });

  it('keeps people away from live water', () => {
    const orders = ordersOn(2, [...start, note(1.9, 'felt a tingle when I put my hand in')]);
    expect(orders[0]).toMatchObject({ key: 'people:shock', urgency: 'now' });
    expect(orders[0]?.cautions.map(({ id }) => id)).toContain('CAU-E5');
  });
});

describe('what else animals stand in', { timeout: patience }, () => {
  it('calls heat an emergency, and slow cooling with air the remedy', () => {
    const orders = ordersOn(5, [...start, fish(0.2, 2), measured(4.95, 'temperature', 32)]);
    const order = orders.find(({ key }) => key === 'welfare:temperature');
    expect(order).toMatchObject({ do: 'emergency', urgency: 'now' });
    expect(order?.say).toContain('at most 2 °C an hour');
  });

  it('calls nitrite no emergency for fish at full salinity', () => {
    const orders = ordersOn(30, [
      ...start,
      fish(0.2, 2),
      ...[10, 20, 29].flatMap((day) => [read(day, 'ammonia', 0), read(day, 'nitrite', 5)]),
      measured(29.5, 'pH', 8),
    ]);
    expect(orders.some((order) => order.do === 'emergency')).toBe(false);
    expect(keysOf(orders)).not.toContain('feed');
  });
});
