import { caCO3FromMeqL, dKHFromMeqL, meqLFromCaCO3, meqLFromDKH } from './alkalinity-units.ts';
import { molarMass } from './formula.ts';
import { nitrogenForms, type PhosphorusForm } from './molar-masses.ts';

/** A unit of alkalinity. `umol/kg` needs the density of the water, kg/m³. */
export type AlkalinityUnit = 'meq/L' | 'dKH' | 'mg/L CaCO3' | 'umol/kg';

/** Every unit of alkalinity. */
export const alkalinityUnits: readonly AlkalinityUnit[] = ['meq/L', 'dKH', 'mg/L CaCO3', 'umol/kg'];

/** Alkalinity moved between units, by way of meq/L; `rho` in kg/m³. Check: 1 dKH → 17.848 mg/L CaCO3. */
export function convertAlkalinity(
  value: number,
  from: AlkalinityUnit,
  to: AlkalinityUnit,
  rho: number,
): number {
  const inMeqL: Record<AlkalinityUnit, number> = {
    'meq/L': value,
    dKH: meqLFromDKH(value),
    'mg/L CaCO3': meqLFromCaCO3(value),
    'umol/kg': (value * rho) / 1e6,
  };
  const meqL = inMeqL[from];
  const out: Record<AlkalinityUnit, number> = {
    'meq/L': meqL,
    dKH: dKHFromMeqL(meqL),
    'mg/L CaCO3': caCO3FromMeqL(meqL),
    'umol/kg': (meqL * 1e6) / rho,
  };
  return out[to];
}

/** How a dissolved substance is counted: mass or moles, per litre or per kg of water. "ppm" on a kit means mg/L. */
export type ConcentrationUnit =
  | 'mg/L'
  | 'ug/L'
  | 'g/L'
  | 'mmol/L'
  | 'umol/L'
  | 'mg/kg'
  | 'ug/kg'
  | 'mmol/kg'
  | 'umol/kg';

/** A concentration of `substance`, a formula or an ion's name. */
export type ConcentrationScale = { unit: ConcentrationUnit; substance: string };

const amounts: Readonly<Record<string, { perMilli: number; isMoles: boolean }>> = {
  g: { perMilli: 1000, isMoles: false },
  mg: { perMilli: 1, isMoles: false },
  ug: { perMilli: 1e-3, isMoles: false },
  mmol: { perMilli: 1, isMoles: true },
  umol: { perMilli: 1e-3, isMoles: true },
};

const phosphorusForms: readonly PhosphorusForm[] = ['P', 'PO4'];

/** Whether a mole of one substance is a mole of the other: the same, or forms of one nutrient. */
export const sameMoles = (a: string, b: string): boolean =>
  a === b ||
  [nitrogenForms as readonly string[], phosphorusForms as readonly string[]].some(
    (forms) => forms.includes(a) && forms.includes(b),
  );

/**
 * A concentration moved between units and between forms of one nutrient (N, NH3, NH4, NO2, NO3; P, PO4). `rho`,
 * kg/m³, matters only between a litre and a kilogram. NaN where a mole of one is no mole of the other.
 * Check: 1 mg/L N → 4.4268 mg/L NO3; 100 µmol/L N → 1.4007 mg/L N.
 */
export function convertConcentration(
  value: number,
  from: ConcentrationScale,
  to: ConcentrationScale,
  rho: number,
): number {
  if (!sameMoles(from.substance, to.substance)) return Number.NaN;
  const millimoles = (scale: ConcentrationScale): number => {
    const [amount, per] = scale.unit.split('/') as [string, string];
    const { perMilli, isMoles } = amounts[amount]!;
    const perLitre = per === 'kg' ? rho / 1000 : 1;
    return (perMilli * perLitre) / (isMoles ? 1 : molarMass(scale.substance));
  };
  return (value * millimoles(from)) / millimoles(to);
}
