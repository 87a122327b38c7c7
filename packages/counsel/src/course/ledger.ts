import { quantiles } from '@brinewright/evidence';
import { type StateName, stateIndex, stateWidth } from '@brinewright/nitrogen';
import type { Ledger, LedgerLine } from './answer.ts';
import { tidy } from './course.ts';
import type { Reckoning } from './reckon.ts';

const places: readonly (readonly [LedgerLine['place'], readonly StateName[]])[] = [
  ['food', ['food', 'dissolved']],
  ['ammonia', ['ammonia']],
  ['nitrite', ['nitrite']],
  ['nitrate', ['nitrate']],
  ['bacteria', ['bound']],
  ['taken out', ['removed']],
  ['gas and algae', ['lost']],
];

/** Where all the nitrogen is that was put in or set free up to now; the places add up in every particle. */
export function ledgerOf({ situation, trajectories }: Reckoning): Ledger {
  const { today, particles } = trajectories;
  const litres = situation.facts.litres?.value;
  const band = (names: readonly StateName[]) => {
    const sums = Float64Array.from({ length: particles }, (_, i) =>
      names.reduce((sum, name) => sum + today[i * stateWidth + stateIndex[name]]!, 0),
    );
    const [p05, p50, p95] = quantiles(sums, [0.05, 0.5, 0.95]).map((value) => tidy(value * (litres ?? 1)));
    return { p05: p05!, p50: p50!, p95: p95! };
  };
  return {
    unit: 'mg N',
    whole: litres !== undefined,
    put: band(['put']),
    lines: places.map(([place, names]) => ({ place, ...band(names) })),
  };
}
