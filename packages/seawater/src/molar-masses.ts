import { atomicWeights } from './atomic-weights.ts';

const { H, N, O, P } = atomicWeights as { H: number; N: number; O: number; P: number };

/** What a nitrogen reading counts: the element, or one of its ions or molecules. */
export type NitrogenForm = 'N' | 'NH3' | 'NH4' | 'NO2' | 'NO3';

/** Every form a nitrogen number may be given in. */
export const nitrogenForms: readonly NitrogenForm[] = ['N', 'NH3', 'NH4', 'NO2', 'NO3'];

/** Molar masses, g/mol, of the nitrogen forms [IUPAC05]. */
export const nitrogenMolarMass: Readonly<Record<NitrogenForm, number>> = {
  N,
  NH3: N + 3 * H,
  NH4: N + 4 * H,
  NO2: N + 2 * O,
  NO3: N + 3 * O,
};

/** What a phosphorus reading counts. */
export type PhosphorusForm = 'P' | 'PO4';

/** Molar masses, g/mol, of the phosphorus forms [IUPAC05]. */
export const phosphorusMolarMass: Readonly<Record<PhosphorusForm, number>> = { P, PO4: P + 4 * O };

/** Molar mass of O2, g/mol, as used with [GG92]. */
export const OXYGEN_MOLAR_MASS = 31.9988;

/** Molar mass of calcium carbonate, g/mol, in which alkalinity is often counted. */
export const CALCIUM_CARBONATE_MOLAR_MASS = 100.0869;

/** A number of mg/L counted as `from`, counted as nitrogen. Check: 1 mg/L NO2 → 0.30446. */
export const toNitrogen = (mgL: number, from: NitrogenForm): number =>
  (mgL * nitrogenMolarMass.N) / nitrogenMolarMass[from];

/** mg/L as nitrogen, counted as `to`. Check: 1 mg/L N → 4.4268 NO3, 1.2878 NH4. */
export const fromNitrogen = (mgLN: number, to: NitrogenForm): number =>
  (mgLN * nitrogenMolarMass[to]) / nitrogenMolarMass.N;

/** mg/L counted as `from`, counted as phosphorus. Check: 3.0662 PO4 → 1 P. */
export const toPhosphorus = (mgL: number, from: PhosphorusForm): number =>
  (mgL * phosphorusMolarMass.P) / phosphorusMolarMass[from];

/** mg/L as phosphorus, counted as `to`. */
export const fromPhosphorus = (mgLP: number, to: PhosphorusForm): number =>
  (mgLP * phosphorusMolarMass[to]) / phosphorusMolarMass.P;

/** µmol/L from mg/L of a substance of `molarMass` g/mol. */
export const umolLFromMgL = (mgL: number, molarMass: number): number => (1000 * mgL) / molarMass;

/** mg/L from µmol/L of a substance of `molarMass` g/mol. Check: 100 µmol/L N → 1.40067. */
export const mgLFromUmolL = (umolL: number, molarMass: number): number => (umolL * molarMass) / 1000;

/** µmol/kg of solution from µmol/L, with the density of the solution in kg/m³. */
export const perKilogram = (perLitre: number, rho: number): number => (perLitre * 1000) / rho;

/** µmol/L from µmol/kg of solution, with the density of the solution in kg/m³. */
export const perLitre = (perKg: number, rho: number): number => (perKg * rho) / 1000;
