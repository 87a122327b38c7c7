import { describe, expect, it } from 'vitest';
import { groupByValue, information, together } from '../../src/next-test/information.ts';

const particles = 512;
const values = Float64Array.from({ length: particles }, (_, i) => (i * 37) % particles);
const grouping = groupByValue(values, 8);
/** Outcome chances from a rule of each particle's value; shape (2, particles). */
const twoOutcomes = (chance: (value: number) => number): Float64Array =>
  Float64Array.from({ length: 2 * particles }, (_, i) => {
    const p = chance(values[i % particles]!);
    return i < particles ? p : 1 - p;
  });

describe('information of a reading about a grouping', () => {
  it('is ln 2 for a reading that tells the upper half from the lower for certain', () => {
    expect(
      information(
        twoOutcomes((v) => (v < particles / 2 ? 1 : 0)),
        grouping,
      ),
    ).toBeCloseTo(Math.LN2, 1);
  });

  it('is nothing for a reading that does not depend on it', () => {
    expect(
      information(
        twoOutcomes(() => 0.3),
        grouping,
      ),
    ).toBe(0);
    expect(
      information(
        twoOutcomes((v) => (v % 2 === 0 ? 1 : 0)),
        grouping,
      ),
    ).toBeLessThan(0.02);
  });

  it('agrees with the closed form of a symmetric channel: ln 2 − H(0.1)', () => {
    const told = information(
      twoOutcomes((v) => (v < particles / 2 ? 0.9 : 0.1)),
      grouping,
    );
    const closed = Math.LN2 + 0.9 * Math.log(0.9) + 0.1 * Math.log(0.1);
    expect(told).toBeCloseTo(closed, 1);
  });

  it('does not count the same reading twice, and adds what is new', () => {
    const half = twoOutcomes((v) => (v < particles / 2 ? 1 : 0));
    const quarter = twoOutcomes((v) => (Math.floor((4 * v) / particles) % 2 === 0 ? 1 : 0));
    const alone = information(half, grouping);
    expect(information(together(half, half, particles), grouping)).toBeCloseTo(alone, 6);
    expect(information(together(half, quarter, particles), grouping)).toBeGreaterThan(1.8 * alone);
  });

  it('puts what never comes within the horizon into one group', () => {
    const { groups } = groupByValue(Float64Array.from([1, Infinity, 2, Infinity, Infinity, 3]), 3);
    expect(groups[1]).toBe(groups[3]);
    expect(groups[1]).toBe(groups[4]);
    expect(groups[0]).not.toBe(groups[1]);
  });
});
