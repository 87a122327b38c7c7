import type { KitBody, ReadingBody, Stamped } from '@brinewright/journal';
import { describe, expect, it } from 'vitest';
import { readyInRecord, type Score, shownInterval, totalsOf } from '../score.ts';

const day = 86_400_000;

const read = (at: number, analyte: ReadingBody['analyte'], value: number): Stamped<ReadingBody> =>
  ({ at: at * day, analyte, value, as: 'N' }) as Stamped<ReadingBody>;

describe('when a record became ready', () => {
  it('is the later of the first readings from which ammonia and nitrite stay at zero', () => {
    const readings = [
      read(1, 'ammonia', 2),
      read(5, 'nitrite', 1),
      read(8, 'ammonia', 0),
      read(9, 'nitrite', 0.2),
      read(12, 'nitrite', 0),
      read(14, 'ammonia', 0),
    ];
    expect(readyInRecord(readings)).toBe(12 * day);
  });

  it.each([
    ['nitrite still shows at the end', [read(1, 'ammonia', 2), read(2, 'ammonia', 0), read(3, 'nitrite', 1)]],
    ['nothing was ever seen', [read(1, 'ammonia', 0), read(2, 'nitrite', 0)]],
    ['nitrite was never tested', [read(1, 'ammonia', 2), read(2, 'ammonia', 0)]],
  ])('is not known where %s', (_name, readings) => {
    expect(readyInRecord(readings)).toBeUndefined();
  });
});

describe('what a reading shows, in the ion of its kit', () => {
  const kit: KitBody = { kit: 'drops', analyte: 'nitrite', as: 'NO2' };

  it('is converted where the journal counts another ion', () => {
    // 1 mg/L of nitrite as N is 46.0055 / 14.0067 mg/L as NO2.
    const [low, high] = shownInterval({ analyte: 'nitrite', as: 'N', value: 1 }, kit);
    expect(low).toBeCloseTo(3.2845, 3);
    expect(high).toBe(low);
  });

  it.each([
    [{ between: [1, 2] as [number, number] }, [1, 2]],
    [{ over: 5 }, [5, Number.POSITIVE_INFINITY]],
    [{ under: 0.1 }, [Number.NEGATIVE_INFINITY, 0.1]],
  ])('is the interval of %j', (form, interval) => {
    expect(shownInterval({ analyte: 'nitrite', as: 'NO2', ...form }, kit)).toEqual(interval);
  });
});

describe('totals', () => {
  const score = (readyError: number | null, readyMissed = false): Score => ({
    record: 'a',
    daysKnown: 10,
    predicted: 4,
    passedOver: 0,
    inside50: 2,
    inside90: 3,
    readyError,
    readyMissed,
  });

  it('add up the readings and take the median size of the ready errors', () => {
    expect(totalsOf([score(-3), score(8), score(1), score(null)])).toEqual({
      predicted: 16,
      inside50: 8,
      inside90: 12,
      readyError: 3,
      readyKnown: 3,
    });
  });

  it('count a date past the horizon as the largest error', () => {
    expect(totalsOf([score(2), score(null, true), score(null, true)]).readyError).toBeNull();
  });
});
