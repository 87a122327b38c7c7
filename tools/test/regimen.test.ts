import { parseJournal, writeJournal } from '@brinewright/journal';
import { describe, expect, it } from 'vitest';
import { stream } from '../calibration/random.ts';
import { byRuleOfThumb } from '../regimen/rule-of-thumb.ts';
import { paired } from '../regimen.ts';
import { Diary } from '../virtual/diary.ts';
import { carries, drawWorld, exchange, liveTo, pour, readCard } from '../virtual/world.ts';

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

describe('the paired interval', { timeout: patience }, () => {
  it('holds the mean, is narrow where all differ alike and wide where they do not', () => {
    expect(paired([-4, -4, -4, -4])).toEqual({ mean: -4, low: -4, high: -4 });
    const { mean, low, high } = paired([-10, 0, 10, 20, -20, 5, -5, 0]);
    expect(mean).toBe(0);
    expect(low).toBeLessThan(-3);
    expect(high).toBeGreaterThan(3);
  });
});
