import { ended } from '@brinewright/evidence';
import { describe, expect, it } from 'vitest';
import { courseOf, type Idea, ideasOf, type Reckoning, whatIf } from '../../src/index.ts';
import { culture, dose, kits, type Line, read, reckonAt, water } from '../scenarios/station.ts';

/** Dosed to 2 mg/L an hour after the opening, ammonia on its way down on day 8. */
const history: readonly Line[] = [
  water,
  ...kits,
  culture,
  dose(1 / 24, 400),
  read(2, 'ammonia', 2),
  read(5, 'ammonia', 1),
  read(5, 'nitrite', 1),
  read(8, 'ammonia', 0.25),
  read(8, 'nitrite', 5),
];
const reckoning = reckonAt(history, 8);
const plan = courseOf(reckoning);

const supposing = (idea: Idea, from: Reckoning = reckoning) => ended(whatIf(from, idea));

describe('what if', () => {
  it('offers what this tank can be asked, with the amounts it has known', () => {
    expect(ideasOf(reckoning)).toEqual([
      { do: 'dose', mgNPerLitre: 2 },
      { do: 'exchange', share: 0.3 },
      { do: 'warmer', byC: 2 },
      { do: 'no-culture' },
    ]);
    const wild = reckonAt([[0, 'tank', { ...water[2], route: 'salt' }], ...kits, dose(0.1, 300)], 3);
    expect(ideasOf(wild)).not.toContainEqual({ do: 'no-culture' });
  });

  it('changes nothing where nothing is changed', () => {
    const same = supposing({ do: 'exchange', share: 0 });
    // The integrator restarts at the deed, so only its tolerance may show.
    for (const days of Object.values(same.laterDays!)) expect(Math.abs(days)).toBeLessThan(1e-3);
    expect(Math.abs(Date.parse(same.ready.p50!) - Date.parse(plan.ready.p50!))).toBeLessThan(60_000);
  });

  it('raises ammonia by the dose, and what lies behind stays as it was', () => {
    const dosed = supposing({ do: 'dose', mgNPerLitre: 2 });
    const level = (series: typeof plan.series, at: string) =>
      series[0]!.points.findLast((point) => point.at === at)!.p50;
    const rise = level(dosed.series, plan.asOf) - level(plan.series, plan.asOf);
    expect(rise).toBeGreaterThan(1.7);
    expect(rise).toBeLessThan(2.3);
    const day3 = plan.series[0]!.points.find(({ at }) => at.startsWith('2025-03-04T09:00'))!;
    expect(dosed.series[0]!.points.find(({ at }) => at === day3.at)).toEqual(day3);
  });

  it('takes the share of nitrite out that is changed', () => {
    const changed = supposing({ do: 'exchange', share: 0.3 });
    const nitrite = (series: typeof plan.series) =>
      series[1]!.points.findLast(({ at }) => at === plan.asOf)!.p50;
    expect(nitrite(changed.series) / nitrite(plan.series)).toBeCloseTo(0.7, 2);
  });

  it('is sooner in warmer water, and later had there been no culture', () => {
    expect(supposing({ do: 'warmer', byC: 2 }).laterDays!.p50).toBeLessThan(0);
    const bare = supposing({ do: 'no-culture' });
    const late = bare.laterDays === null || bare.laterDays.p50 > 0;
    expect(late).toBe(true);
    expect(bare.ready.p50 === null || bare.ready.p50 > plan.ready.p50!).toBe(true);
  });
});

describe('the course', () => {
  it('jumps where a dose was given an hour after the opening', () => {
    const [before, at] = plan.series[0]!.points.slice(1, 3);
    expect(Date.parse(at!.at) - Date.parse(before!.at)).toBeLessThanOrEqual(60_001);
    expect(at!.p50 - before!.p50).toBeGreaterThan(1.5);
  });
});
