import { parseJournal, writeJournal } from '@brinewright/journal';
import { describe, expect, it } from 'vitest';
import { stream } from '../calibration/random.ts';
import { byOrders } from '../regimen/by-orders.ts';
import { byRuleOfThumb } from '../regimen/rule-of-thumb.ts';
import { medianOf, paired } from '../regimen/summary.ts';
import { Animals, exposureAfter } from '../virtual/animals.ts';
import { Diary } from '../virtual/diary.ts';
import { type Beginning, carries, drawWorld, exchange, liveTo, pour, readCard } from '../virtual/world.ts';

const world = (seed = 7) => drawWorld(stream(seed, 1));

/** Milliseconds a test may take on a busy machine; alone each is done in about one second. */
const patience = 30_000;

describe('a virtual tank', { timeout: patience }, () => {
  it('is the same for the same seed, and has troubles now and then', () => {
    expect(JSON.stringify(world())).toBe(JSON.stringify(world()));
    const troubled = Array.from({ length: 60 }, (_, seed) => world(seed).troubles.size > 0);
    const share = troubled.filter(Boolean).length / 60;
    expect(share).toBeGreaterThan(0.5);
    expect(share).toBeLessThan(1);
  });

  it('keeps its nitrogen: what was poured is in the water or in the few percent that became cells', () => {
    const tank = world();
    const before = tank.tank.ammonia + tank.tank.nitrate + tank.tank.organic;
    pour(tank, 2 * tank.believedLitres);
    const put = tank.tank.freed;
    liveTo(tank, 40);
    const { ammonia, nitrite, nitrate, organic, freed } = tank.tank;
    const found = ammonia + nitrite + nitrate + 0.8 * organic;
    expect(found).toBeGreaterThan(0.93 * (before * 0.8 + put));
    expect(found).toBeLessThan(1.02 * (before + freed));
  });

  it('is left as it was by asking whether it carries a challenge', () => {
    const tank = world();
    liveTo(tank, 5);
    const before = JSON.stringify(tank.tank);
    expect(carries(tank, 0.5)).toBe(false);
    expect(JSON.stringify(tank.tank)).toBe(before);
    expect(tank.day).toBeCloseTo(5, 6);
  });

  it('is read on a card, and diluted by a change', () => {
    const tank = world();
    tank.tank.nitrite = 1.5;
    expect(readCard(tank, stream(1, 1), 'nitrite')).toBeGreaterThanOrEqual(2);
    exchange(tank, 0.5);
    expect(tank.tank.nitrite).toBe(0.75);
  });
});

describe('animals in a virtual tank', { timeout: patience }, () => {
  it('are poisoned in new water, and not where the bacteria keep up', () => {
    const fresh = drawWorld(stream(11, 1), 'ammonia');
    const running = drawWorld(stream(11, 1), 'media');
    for (const { oxidisers } of [running.tank])
      for (const strain of [...oxidisers.ammonia, ...oxidisers.nitrite]) strain.capacity = 2;
    const load = 0.2 * fresh.trueLitres;
    const [bad, good] = [exposureAfter(fresh, load), exposureAfter(running, load)];
    expect(bad.hoursOfConcern).toBeGreaterThan(200);
    expect(bad.hoursOfEmergency).toBeGreaterThan(100);
    expect(good.hoursOfEmergency).toBe(0);
    expect(good.acuteDose).toBe(0);
  });

  it('excrete in a day what they are fed for, meals or no meals', () => {
    const tank = drawWorld(stream(12, 1), 'ammonia');
    const before = tank.tank.freed;
    new Animals(tank, 0.1 * tank.trueLitres).liveTo(10);
    const scraps = 10 * tank.tank.scraps;
    // Ten days of 0.1 mg/L, times how lavishly they are fed; some of the organic matter of the start comes free as well.
    const most = tank.lavishness + scraps + 1;
    expect(tank.tank.freed - before).toBeGreaterThan(0.98 * tank.lavishness);
    expect(tank.tank.freed - before).toBeLessThan(most);
  });
});

/** Tanks that are ready soon and have no trouble, so that the keeper's evenings are few. */
const short: readonly (readonly [Beginning, number])[] = [
  ['media', 40],
  ['live rock', 40],
];

describe('a keeper who follows the orders', { timeout: 6 * patience }, () => {
  it.each(short)('starts a tank with %s (seed %i) soon, rightly and harmlessly', (beginning, seed) => {
    const tank = drawWorld(stream(seed, 1), beginning);
    const { finished, wrong, day, able, exposure, tests } = byOrders(tank, stream(seed, 2), 64);
    expect(finished).toBe(true);
    expect(wrong).toBe(false);
    expect(day - able).toBeLessThan(15);
    expect(tests).toBeLessThan(30);
    expect(exposure.acuteDose).toBe(0);
    expect(exposure.hoursOfEmergency).toBe(0);
  });
});

describe('a virtual keeper', { timeout: patience }, () => {
  it('writes a journal that reads without a fault', () => {
    const diary = new Diary(world());
    diary.write(1, 'reading', { analyte: 'ammonia', as: 'N', kit: 'ammonia-drops', value: 2 });
    const { entries, problems } = parseJournal(writeJournal(diary.entries));
    expect(problems).toEqual([]);
    expect(entries).toHaveLength(diary.entries.length);
    expect(diary.facts().kits.size).toBe(4);
  });

  it('by the rule of both at zero is done no later than by a dose gone in a day', () => {
    for (const seed of [3, 4, 5]) {
      const zero = byRuleOfThumb(world(seed), stream(seed, 2), 'both-zero');
      const day = byRuleOfThumb(world(seed), stream(seed, 2), 'gone-in-a-day');
      expect(zero.day).toBeLessThanOrEqual(day.day);
      expect(zero.tests).toBeGreaterThan(2);
    }
  });
});

describe('a median', () => {
  it('is the middle, or half-way between the two middles', () => {
    expect(medianOf([9, 1, 5])).toBe(5);
    expect(medianOf([1, 2, 4, 100])).toBe(3);
  });
});

describe('the paired interval', { timeout: patience }, () => {
  it('holds the mean, is narrow where all differ alike and wide where they do not', () => {
    expect(paired([-4, -4, -4, -4])).toEqual({ mean: -4, low: -4, high: -4 });
    const { mean, low, high } = paired([-10, 0, 10, 20, -20, 5, -5, 0]);
    expect(mean).toBe(0);
    expect(low).toBeLessThan(-3);
    expect(high).toBeGreaterThan(3);
  });

  it('leaves out pairs of which one half is missing', () => {
    expect(paired([-4, Number.NaN, -4])).toEqual({ mean: -4, low: -4, high: -4 });
  });
});
