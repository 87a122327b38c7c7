import { asNitrogen, fromNitrogen, MOLAR_MASS, NITROGEN_BASES } from '@brinewright/journal';
import { describe, expect, it } from 'vitest';

describe('ions of nitrogen', () => {
  it.each([
    ['NH3', 1.2159],
    ['NH4', 1.2878],
    ['NO2', 3.2845],
    ['NO3', 4.4268],
    ['N', 1],
  ] as const)('1 mg/L as N is %s × %f', (as, ratio) => {
    expect(fromNitrogen(1, as)).toBeCloseTo(ratio, 4);
    expect(asNitrogen(ratio, as)).toBeCloseTo(1, 4);
  });

  it('agrees with the atomic weights to the last digit given', () => {
    const [n, h, o] = [14.0067, 1.00794, 15.9994];
    const sums = { N: n, NH3: n + 3 * h, NH4: n + 4 * h, NO2: n + 2 * o, NO3: n + 3 * o };
    for (const as of NITROGEN_BASES) expect(Math.abs(MOLAR_MASS[as] - sums[as])).toBeLessThan(1e-4);
  });
});
