import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { biologyNames, medianBiology, packBiology, priorOf, priorTable, valueAt } from '../src/index.ts';

interface Table {
  readonly module: string;
}
const { tables, written }: { tables: readonly Table[]; written(table: Table): string } = await import(
  new URL('../../../tools/write-tables.ts', import.meta.url).href
);

it('the table of priors is what its CSV file says', () => {
  const table = tables.find(({ module }) => module.endsWith('priors/table.ts'))!;
  const committed = readFileSync(new URL(`../../../${table.module}`, import.meta.url), 'utf8');
  expect(committed === written(table), 'run: npx tsx tools/write-tables.ts').toBe(true);
});

const shaped = priorTable.filter(({ distribution }) =>
  ['lognormal', 'normal', 'logit-normal'].includes(distribution),
);

describe('a prior', () => {
  it.each(shaped.map((row) => [row.symbol, row] as const))(
    '%s has its median and percentiles',
    (symbol, row) => {
      const prior = priorOf(symbol);
      expect(valueAt(prior, 0)).toBeCloseTo(row.median, 9);
      const [low, high] = [-1.645, 1.645].map((z) => valueAt(prior, z));
      // A spread read off both percentiles fits a rounded table to about a fifth on a logarithmic scale.
      const scale = row.distribution === 'normal' ? (x: number) => x / (row.p95 - row.p05) : Math.log;
      expect(Math.abs(scale(low!) - scale(row.p05))).toBeLessThan(0.35);
      expect(Math.abs(scale(high!) - scale(row.p95))).toBeLessThan(0.35);
    },
  );

  it('is refused where the table lacks it or has a shape of its own', () => {
    expect(() => priorOf('mu_x')).toThrow(/no prior for "mu_x"/);
    expect(() => priorOf('pi_out')).toThrow(/beta/);
  });
});

it('scenarios start from the medians of the table', () => {
  const symbols = {
    ...{ growthA: 'mu_a', growthN: 'mu_n', halfA: 'K_a', halfN: 'K_n', selfA: 'Ki_a', selfN: 'Ki_n' },
    ...{
      freeAmmoniaN: 'KiFA_n',
      ceilingA: 'C_a',
      lossA: 'b_a',
      lossN: 'b_n',
      wakeA: 'tau_a',
      wakeN: 'tau_n',
    },
    ...{ breakUp: 'k_d1', ammonify: 'k_d2', mineralised: 'f_min', algae: 'u_alg', denitrify: 'k_dn' },
    ...{ arriving: 'imm', attach: 'tau_att' },
  } as const;
  for (const [name, symbol] of Object.entries(symbols))
    expect(medianBiology[name as keyof typeof symbols]).toBe(
      priorTable.find((row) => row.symbol === symbol)?.median,
    );
  expect(medianBiology.ceilingN).toBeCloseTo(1.2 * medianBiology.ceilingA, 12);
  expect(packBiology(medianBiology)).toHaveLength(biologyNames.length);
});
