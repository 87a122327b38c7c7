import { describe, expect, it } from 'vitest';
import { courseAnswer } from '../src/answers/course.ts';
import { decimals, probability, quantity } from '../src/answers/rounding.ts';
import { figure, percent } from '../src/paper/words.ts';
import { skerry } from './support/skerry.ts';

describe('numbers for programs', () => {
  it.each([
    [0.123456789, 0.1235],
    [1234.5678, 1235],
    [0.0000123456, 0.00001235],
    [4e-7, 0],
    [-0.4, -0.4],
  ])('writes the quantity %d as %d', (value, written) => {
    expect(quantity(value)).toBe(written);
  });

  it('keeps four decimals of a probability and never writes minus zero', () => {
    expect(probability(0.99996)).toBe(1);
    expect(probability(0.00004)).toBe(0);
    expect(Object.is(decimals(-0.0001, 2), 0)).toBe(true);
  });

  it('leaves every instant and the count of points as they are', () => {
    const answer = courseAnswer(skerry.course);
    for (const [index, series] of skerry.course.series.entries())
      expect(answer.series[index]?.points.map(({ at }) => at)).toEqual(series.points.map(({ at }) => at));
  });

  it('keeps the quantiles of every point in order', () => {
    for (const { points } of courseAnswer(skerry.course).series)
      for (const { p05, p25, p50, p75, p95 } of points) {
        const ordered = [p05, p25, p50, p75, p95];
        expect(ordered).toEqual([...ordered].sort((a, b) => a - b));
      }
  });
});

describe('numbers for a person', () => {
  it.each([
    [0.0312, '0.031'],
    [0.31, '0.31'],
    [1.94, '1.9'],
    [42.6, '43'],
    [861.4, '861'],
    [12_345, '12300'],
    [0.0002, '<0.001'],
    [9.99, '10'],
    [99.7, '100'],
    [0, '0'],
  ])('says %d as %s', (value, said) => {
    expect(figure(value)).toBe(said);
  });

  it.each([
    [0.001, 'under 1 %'],
    [0.5, '50 %'],
    [0.999, 'over 99 %'],
  ])('says the probability %d as %s', (value, said) => {
    expect(percent(value)).toBe(said);
  });
});
