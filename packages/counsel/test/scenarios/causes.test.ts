import { describe, expect, it } from 'vitest';
import { type Cause, causes } from '../../src/index.ts';
import { culture, dose, type Line, read, reckonAt, start } from './station.ts';

/** Milliseconds a test may take on a busy machine; alone each is done in two seconds. */
const patience = 30_000;

const explained = (day: number, lines: readonly Line[]): readonly Cause[] => causes(reckonAt(lines, day));
const chanceOf = (found: readonly Cause[], ...names: string[]): number =>
  found.filter(({ cause }) => names.includes(cause)).reduce((sum, { probability }) => sum + probability, 0);
const firstTwo = (found: readonly Cause[]): string[] => found.slice(0, 2).map(({ cause }) => cause);

/** An ordinary start-up of three weeks after whatever came before the first dose. */
const usualAfter = (...before: readonly Line[]): readonly Line[] => [
  ...start,
  ...before,
  dose(0.1, 400),
  culture,
  read(3, 'ammonia', 2),
  read(6, 'ammonia', 2),
  read(6, 'nitrite', 0.5),
  read(9, 'ammonia', 1),
  read(9, 'nitrite', 2),
  read(12, 'ammonia', 0.25),
  read(12, 'nitrite', 5),
  read(15, 'ammonia', 0),
  read(15, 'nitrite', 2),
  read(18, 'ammonia', 0),
  read(18, 'nitrite', 0.25),
];

/** A start-up whose second step stays behind for weeks. */
const lagging: readonly Line[] = [
  ...start,
  dose(0, 400),
  culture,
  read(3, 'ammonia', 2),
  read(6, 'ammonia', 1),
  read(6, 'nitrite', 2),
  read(9, 'ammonia', 0),
  ...[9, 12, 16, 20, 24, 28, 31].map((day) => read(day, 'nitrite', 5)),
  read(20, 'ammonia', 0),
  read(20, 'nitrate', 5),
  read(31, 'ammonia', 0),
];

describe('what holds a tank up', { timeout: patience }, () => {
  it('does not take the tint of a kit for chlorine', () => {
    const found = explained(20, usualAfter(read(0, 'ammonia', 0.25)));
    expect(found[0]?.cause).toBe('sound');
    expect(chanceOf(found, 'STL-CL')).toBeLessThan(0.1);
  });

  it('takes a nitrate kit that hardly heeds nitrite for nothing wrong', () => {
    const low = [read(9, 'nitrate', 5), read(12, 'nitrate', 5), read(15, 'nitrate', 5)];
    const found = explained(20, [...usualAfter(), ...low]);
    expect(found[0]?.cause).toBe('sound');
    expect(chanceOf(found, 'STL-INT')).toBeLessThan(0.05);
  });

  it('knows a nitrate kit that shows nitrite', () => {
    const high = [read(9, 'nitrate', 80), read(12, 'nitrate', 80), read(18, 'nitrate', 20)];
    expect(firstTwo(explained(20, [...usualAfter(), ...high]))).toContain('STL-INT');
  });

  it('knows a second step that lags behind a quick first one', () => {
    const found = explained(32, lagging);
    expect(firstTwo(found)).toContain('STL-NO2');
    expect(chanceOf(found, 'sound')).toBeLessThan(0.2);
  });

  it('remembers for weeks that there was no phosphate', () => {
    const phosphate = (value: number): Line => [10, 'reading', { analyte: 'phosphate', value }];
    const fed = explained(32, [...lagging, phosphate(0.1)]);
    const starved = explained(32, [...lagging, phosphate(0)]);
    expect(firstTwo(starved)).toContain('STL-PO4');
    expect(starved.find(({ cause }) => cause === 'STL-PO4')?.fact).toBe('phosphate was read at 0 mg/L');
    expect(chanceOf(starved, 'STL-PO4')).toBeGreaterThan(0.3);
    expect(chanceOf(fed, 'STL-PO4')).toBeLessThan(0.05);
  });

  it('knows an overdose that was written down, whatever the kit showed before', () => {
    const found = explained(20, [
      ...start,
      read(0, 'ammonia', 0.25),
      dose(0.05, 1800),
      culture,
      ...[3, 6, 9, 12, 15].map((day) => read(day, 'ammonia', 8)),
      read(9, 'nitrite', 0.25),
      read(15, 'nitrite', 0.5),
      read(18, 'ammonia', 8),
      read(18, 'nitrite', 1),
    ]);
    expect(found[0]?.cause).toBe('STL-TAN');
  });

  it('knows water that goes on being fed', () => {
    const found = explained(30, [
      ...start,
      read(0, 'ammonia', 0),
      dose(0.1, 400),
      culture,
      read(3, 'ammonia', 2),
      read(6, 'ammonia', 1),
      read(6, 'nitrite', 2),
      read(9, 'ammonia', 0),
      read(9, 'nitrite', 5),
      ...[13, 16, 19, 22, 25, 28].map((day) => read(day, 'ammonia', 0.5)),
      ...[13, 16, 19].map((day) => read(day, 'nitrite', 5)),
      read(22, 'nitrite', 1),
      read(25, 'nitrite', 0.5),
      read(25, 'nitrate', 40),
      read(28, 'nitrite', 0.5),
      read(28, 'nitrate', 40),
    ]);
    expect(firstTwo(found)).toContain('STL-SRC');
  });
});
