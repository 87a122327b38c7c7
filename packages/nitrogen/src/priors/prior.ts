import { exp, log } from '../numbers/elementary.ts';
import { priorTable } from './table.ts';

/** A distribution of one constant: `value = transform(centre + spread·z)` for a standard normal z. */
export interface Prior {
  readonly shape: 'lognormal' | 'normal' | 'logit-normal';
  readonly centre: number;
  readonly spread: number;
}

/** Two-sided 5–95 % width of a standard normal, as the table's spreads are read. */
const ninetyWidth = 3.29;
const logit = (share: number): number => log(share / (1 - share));

/** Value of a prior at a standard normal score. */
export function valueAt(prior: Prior, z: number): number {
  const x = prior.centre + prior.spread * z;
  if (prior.shape === 'normal') return x;
  return prior.shape === 'lognormal' ? exp(x) : 1 / (1 + exp(-x));
}

/** A lognormal prior from its median and the standard deviation of its logarithm. */
export const lognormal = (median: number, spread: number): Prior => ({
  shape: 'lognormal',
  centre: log(median),
  spread,
});

export const normal = (centre: number, spread: number): Prior => ({ shape: 'normal', centre, spread });

/**
 * The prior of a symbol of the table (data/priors.csv): lognormal, normal or logit-normal.
 * @throws RangeError for a symbol the table lacks or a shape that needs its own treatment (half-normal, beta).
 */
export function priorOf(symbol: string): Prior {
  const row = priorTable.find((candidate) => candidate.symbol === symbol);
  if (!row) throw new RangeError(`no prior for "${symbol}" in data/priors.csv`);
  const { distribution, median, p05, p95 } = row;
  switch (distribution) {
    case 'lognormal':
      return { shape: 'lognormal', centre: log(median), spread: log(p95 / p05) / ninetyWidth };
    case 'normal':
      return { shape: 'normal', centre: median, spread: (p95 - p05) / ninetyWidth };
    case 'logit-normal':
      return {
        shape: 'logit-normal',
        centre: logit(median),
        spread: (logit(p95) - logit(p05)) / ninetyWidth,
      };
    default:
      throw new RangeError(`prior "${symbol}" is ${distribution}: read its parameters from the name`);
  }
}
