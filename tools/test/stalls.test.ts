import { causes, reckon } from '@brinewright/counsel';
import { ended } from '@brinewright/evidence';
import { describe, expect, it } from 'vitest';
import { type Planted, plantedCase } from '../calibration/planted.ts';

function explained(seed: number, planted: Planted) {
  const { facts, asOf } = plantedCase(seed, planted);
  return causes(ended(reckon(facts, { asOf, days: 20 })));
}

/** Causes that leave a plain mark: they must be found in these start-ups. The whole trial is `npm run stalls`. */
describe('a planted cause', { timeout: 120_000 }, () => {
  it.each(['STL-DEAD', 'STL-ALK', 'unfed'] as const)('%s comes first', (planted) => {
    const [first, ...others] = explained(1, planted);
    expect(first?.cause).toBe(planted);
    expect(first!.probability + others.reduce((sum, { probability }) => sum + probability, 0)).toBeCloseTo(
      1,
      9,
    );
  });

  it('is not found where there is none', () => {
    expect(explained(1, 'sound')[0]?.cause).toBe('sound');
  });
});
