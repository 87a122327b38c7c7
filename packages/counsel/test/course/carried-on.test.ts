import { ended } from '@brinewright/evidence';
import { describe, expect, it } from 'vitest';
import { explain, settleAhead } from '../../src/index.ts';
import { culture, dose, type Line, read, reckonAt, start } from '../scenarios/station.ts';

const journal: readonly Line[] = [
  ...start,
  dose(0, 400),
  culture,
  read(0.1, 'ammonia', 2),
  read(4, 'ammonia', 2),
  read(8, 'ammonia', 1),
  read(8, 'nitrite', 2),
  read(11, 'nitrite', 5),
  read(11.1, 'ammonia', 0),
];

/** A tank reckoned on day 8, its causes weighed, and again after each of two more readings. */
function evenings(between: (reckoning: ReturnType<typeof reckonAt>) => void) {
  const eighth = reckonAt(journal, 8.1, 96);
  const first = reckonAt(journal, 8.2, 96, eighth);
  ended(explain(first));
  between(first);
  const second = reckonAt(journal, 11.05, 96, first);
  ended(explain(second));
  between(second);
  const third = reckonAt(journal, 11.2, 96, second);
  return { third, causes: ended(explain(third)) };
}

describe('a tank reckoned on from evening to evening', { timeout: 30_000 }, () => {
  it('comes to the same, whether what there was time for was done ahead or not', () => {
    const late = evenings(() => undefined);
    const ahead = evenings((reckoning) => ended(settleAhead(reckoning)));
    expect(ahead.third.posterior.scores).toEqual(late.third.posterior.scores);
    expect(ahead.causes).toEqual(late.causes);
  });

  it('goes on from its particles, and agrees with one reckoned afresh', () => {
    const { third } = evenings(() => undefined);
    expect(third.posterior.diagnostics.levels).toBe(0);
    const afresh = reckonAt(journal, 11.2, 256);
    expect(Math.abs(third.posterior.logEvidence - afresh.posterior.logEvidence)).toBeLessThan(2);
  });
});
