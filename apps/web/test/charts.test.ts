import type { DrawnReading } from '@brinewright/counsel';
import { describe, expect, it } from 'vitest';
import { topOf } from '../src/charts/levels.ts';
import { levelAt } from '../src/charts/panel.tsx';
import { linear } from '../src/charts/scale.ts';
import { dayTicks, stretchOf } from '../src/charts/time.ts';
import { skerrySheet } from './fixtures/sheet.ts';

const nitrate = skerrySheet.course.series[2]!.points;
const read = (low: number, high: number | null): DrawnReading => ({
  entry: 'r',
  at: skerrySheet.course.asOf,
  analyte: 'nitrate',
  low,
  high,
  text: '',
  surprise: 1,
});

describe('the scales of a course chart', () => {
  it('map and map back', () => {
    const scale = linear([10, 20], [300, 100]);
    expect(scale(15)).toBe(200);
    expect(scale.invert(scale(12.5))).toBe(12.5);
  });

  it('show all of a band and all of a reading beside it', () => {
    expect(topOf(nitrate, [read(1, 4)])).toBeGreaterThan(4);
    expect(topOf(nitrate, [])).toBeGreaterThan(Math.max(...nitrate.map((p) => p.p95)));
  });

  it('are not squashed by the far end of a coarse reading or by a long tail of the forecast', () => {
    expect(topOf(nitrate, [read(1, 40)])).toBeLessThan(8);
    const tail = nitrate.map((p) => ({ ...p, p95: 100 }));
    expect(topOf(tail, [])).toBeLessThan(7);
  });

  it('always show the low end of a reading, and of one that is open to the top', () => {
    expect(topOf(nitrate, [read(30, null)])).toBeGreaterThan(30);
  });

  it('run from day 0 to past the ready window, and from lately in an old tank unless all is asked for', () => {
    expect(stretchOf(skerrySheet)).toMatchObject({ firstDay: 0, lastDay: 38, shortened: false });
    const { course } = skerrySheet;
    const later = new Date(Date.parse(course.asOf) + 300 * 86_400_000).toISOString();
    const old = { ...skerrySheet, course: { ...course, asOf: later } };
    expect(stretchOf(old)).toMatchObject({ firstDay: 247, shortened: true });
    expect(stretchOf(old, true)).toMatchObject({ firstDay: 0, shortened: false });
  });

  it('label whole weeks where there is room and fewer where there is not', () => {
    expect(dayTicks(stretchOf(skerrySheet), 900, 64)).toEqual([0, 7, 14, 21, 28, 35]);
    expect(dayTicks(stretchOf(skerrySheet), 320, 64)).toEqual([0, 14, 28]);
  });

  it('read a level between two points of the series, and its ends outside', () => {
    const [a, b] = [nitrate[20]!, nitrate[21]!];
    const middle = (Date.parse(a.at) + Date.parse(b.at)) / 2;
    expect(levelAt(nitrate, middle, 'p50')).toBeCloseTo((a.p50 + b.p50) / 2, 10);
    expect(levelAt(nitrate, 0, 'p50')).toBe(nitrate[0]!.p50);
    expect(levelAt(nitrate, Number.MAX_SAFE_INTEGER, 'p50')).toBe(nitrate.at(-1)!.p50);
  });
});
