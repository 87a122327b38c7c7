import { foldJournal, parseJournal, writeJournal } from '@brinewright/journal';
import { describe, expect, it } from 'vitest';
import { DEMONSTRATION, plantDemonstration } from '../src/demo/plant.ts';

describe('the demonstration', () => {
  const now = Date.parse('2027-02-03T12:00:00Z');
  const planted = plantDemonstration(now);

  it('ends within the day before it is planted, whenever that is', () => {
    const last = Math.max(...planted.map(({ at }) => Date.parse(at)));
    expect(now - last).toBeGreaterThanOrEqual(0);
    expect(now - last).toBeLessThan(86_400_000);
  });

  it('is a sound journal of one tank in its seventeenth day, without a doubt', () => {
    const { entries, problems } = parseJournal(writeJournal(planted));
    expect(problems).toEqual([]);
    const facts = foldJournal(entries).get(DEMONSTRATION)!;
    expect(facts.name).toBe('Skerry');
    expect(Math.floor((now - facts.opened!) / 86_400_000)).toBe(16);
    expect(facts.doubts).toEqual([]);
    expect(facts.readings.filter(({ analyte }) => analyte === 'nitrite').at(-1)).toMatchObject({ over: 5 });
  });

  it('is the same however often it is planted on a day', () => {
    expect(plantDemonstration(now + 3_600_000)).toEqual(planted);
  });
});
