import type { NitrogenBasis } from '../entry/terms.ts';

/**
 * Molar masses, g/mol, of nitrogen and of the ions and gas a test may count: sums of the standard atomic weights
 * N 14.0067, H 1.00794, O 15.9994 (IUPAC 1997 table, as the reference rows for units use them).
 */
export const MOLAR_MASS: Readonly<Record<NitrogenBasis, number>> = {
  N: 14.0067,
  NH3: 17.0305,
  NH4: 18.0385,
  NO2: 46.0055,
  NO3: 62.0049,
};

/** mg/L as nitrogen of a level counted as another ion. Check: 4.4268 mg/L as NO3 is 1 mg/L as N. */
export const asNitrogen = (mgL: number, as: NitrogenBasis): number => (mgL * MOLAR_MASS.N) / MOLAR_MASS[as];

/** A level in mg/L as nitrogen, counted as another ion. Check: 1 mg/L as N is 3.2845 mg/L as NO2. */
export const fromNitrogen = (mgNL: number, as: NitrogenBasis): number =>
  (mgNL * MOLAR_MASS[as]) / MOLAR_MASS.N;
