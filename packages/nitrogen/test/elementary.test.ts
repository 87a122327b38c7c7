import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { exp, log, power10 } from '../src/index.ts';

/** Units of the last place between a number and what it should be. */
const units = (found: number, expected: number): number => {
  const exponent = Math.floor(Math.log2(Math.abs(expected)));
  return Math.abs(found - expected) / 2 ** (Math.max(exponent, -1022) - 52);
};

describe('e^x', () => {
  it('has its published values', () => {
    expect(exp(0)).toBe(1);
    expect(exp(1)).toBe(Math.E);
    expect(units(exp(-1), 0.36787944117144233)).toBeLessThan(2);
    expect(units(exp(10), 22026.465794806718)).toBeLessThan(2);
    expect(units(exp(0.5), 1.6487212707001282)).toBeLessThan(2);
  });

  it('agrees with the engine within two units of the last place', () => {
    fc.assert(
      fc.property(fc.double({ min: -700, max: 709, noNaN: true }), (x) => {
        expect(units(exp(x), Math.exp(x))).toBeLessThanOrEqual(2);
      }),
      { seed: 20_250_401, numRuns: 2000 },
    );
  });

  it('keeps its ends', () => {
    expect(exp(-Infinity)).toBe(0);
    expect(exp(Infinity)).toBe(Infinity);
    expect(exp(710)).toBe(Infinity);
    expect(exp(-746)).toBe(0);
    expect(exp(Number.NaN)).toBeNaN();
    expect(exp(709.7)).toBeGreaterThan(1.6e308);
    expect(exp(-745)).toBe(5e-324);
    expect(exp(-720) / Math.exp(-720)).toBeCloseTo(1, 6);
  });
});

describe('ln x', () => {
  it('has its published values', () => {
    expect(log(1)).toBe(0);
    expect(log(2)).toBe(Math.LN2);
    expect(units(log(10), Math.LN10)).toBeLessThan(2);
    expect(units(log(1e-3), -6.907755278982137)).toBeLessThan(2);
    // 1 + 1e-10 is rounded to a number whose logarithm is this.
    expect(units(log(1 + 1e-10), 1.000000082690371e-10)).toBeLessThan(2);
  });

  it('agrees with the engine within two units of the last place', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 5e-324, max: 1.7e308, noNaN: true }),
        fc.double({ min: 0.5, max: 2, noNaN: true }),
        (x, near) => {
          for (const one of [x, near])
            if (Math.log(one) !== 0) expect(units(log(one), Math.log(one))).toBeLessThanOrEqual(2);
        },
      ),
      { seed: 20_250_402, numRuns: 2000 },
    );
  });

  it('keeps its ends', () => {
    expect(log(0)).toBe(-Infinity);
    expect(log(-1)).toBeNaN();
    expect(log(Infinity)).toBe(Infinity);
    expect(log(Number.NaN)).toBeNaN();
    expect(log(5e-324)).toBeCloseTo(-744.4400719213812, 9);
  });

  it('undoes e^x', () => {
    fc.assert(
      fc.property(fc.double({ min: -600, max: 600, noNaN: true }), (x) => {
        expect(Math.abs(log(exp(x)) - x)).toBeLessThan(4e-16 * Math.max(1, Math.abs(x)));
      }),
      { seed: 20_250_403, numRuns: 500 },
    );
  });
});

it('10^x is e^x in another base', () => {
  for (const x of [-8.1, -0.3, 0, 1, 2.5]) expect(power10(x) / 10 ** x).toBeCloseTo(1, 13);
});
