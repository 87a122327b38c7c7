import { density } from './density.ts';
import { molarMass } from './formula.ts';
import { CALCIUM_CARBONATE_MOLAR_MASS, perLitre } from './molar-masses.ts';

/** Molar mass of calcium oxide, g/mol: one German degree is 10 mg of it per litre. */
const CALCIUM_OXIDE_MOLAR_MASS = molarMass('CaO');

/** meq/L from German degrees. Check: 1 dKH → 0.35663. */
export const meqLFromDKH = (dKH: number): number => (dKH * 20) / CALCIUM_OXIDE_MOLAR_MASS;

/** German degrees from meq/L. Check: 1 meq/L → 2.8039. */
export const dKHFromMeqL = (meqL: number): number => (meqL * CALCIUM_OXIDE_MOLAR_MASS) / 20;

/** meq/L from mg/L as CaCO3. Check: 50.043 → 1. */
export const meqLFromCaCO3 = (mgL: number): number => (mgL * 2) / CALCIUM_CARBONATE_MOLAR_MASS;

/** mg/L as CaCO3 from meq/L. Check: 1 → 50.043. */
export const caCO3FromMeqL = (meqL: number): number => (meqL * CALCIUM_CARBONATE_MOLAR_MASS) / 2;

/** meq/L from µmol/kg, for a volume measured at t °C. Check: 2300, S 35, 25 °C → 2.3537. */
export const meqLFromUmolKg = (umolKg: number, salinity: number, temperatureC: number): number =>
  perLitre(umolKg, density(salinity, temperatureC)) / 1000;
