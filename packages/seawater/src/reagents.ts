import { atomicWeights } from './atomic-weights.ts';
import { compositionOf, FormulaFault, molarMass } from './formula.ts';

/** mg of an element per g of the pure formula. Throws `FormulaFault`. Check: NH4Cl, N → 261.85. */
export function milligramsPerGram(formula: string, element: string): number {
  const weight = atomicWeights[element];
  if (weight === undefined) throw new FormulaFault(element, 0, 'it is not an element we know');
  const count = compositionOf(formula).get(element) ?? 0;
  return (1000 * count * weight) / molarMass(formula);
}

/** Ions whose atoms do not count one by one in alkalinity. */
const ions = ['NH4', 'NH3', 'NO3', 'NO2', 'SO4'] as const;

/** Equivalents of alkalinity per mol of each conservative ion or element [WG07]. */
const equivalents: Readonly<Record<string, number>> = {
  Na: 1,
  K: 1,
  Li: 1,
  Mg: 2,
  Ca: 2,
  Sr: 2,
  Cl: -1,
  Br: -1,
  I: -1,
  F: -1,
  NH4: 1,
  NH3: 1,
  NO3: -1,
  NO2: -1,
  SO4: -2,
  P: -1,
  C: 0,
  B: 0,
  Si: 0,
  H: 0,
  O: 0,
};

/**
 * Equivalents of alkalinity a mole of the formula adds to seawater, from its conservative ions: Na + K + 2 Ca + 2 Mg
 * + 2 Sr + NH − Cl − Br − NO3 − PO4 − 2 SO4 − F [WG07, D81]. Bicarbonate, carbonate, borate and hydroxide
 * need no rule of their own. Throws `FormulaFault` where it cannot tell (urea, thiosulfate, metals that precipitate).
 * Check: NaHCO3 → 1, Na2CO3 → 2, CaCl2 → 0, NH3 → 1, Na2B4O7 → 2.
 */
export function alkalinityPerMole(formula: string): number {
  let sum = 0;
  for (const [name, count] of compositionOf(formula, ions)) {
    const each = equivalents[name];
    if (each === undefined)
      throw new FormulaFault(formula, 0, `what ${name} in it does to alkalinity is not known here`);
    sum += each * count;
  }
  return sum;
}

/** meq of alkalinity per g of the pure formula. Check: NaHCO3 → 11.904; Na2CO3 → 18.870. */
export const milliequivalentsPerGram = (formula: string): number =>
  (1000 * alkalinityPerMole(formula)) / molarMass(formula);

/**
 * Grams of a reagent that change a concentration by `change` (mg/L or meq/L) in `litres`: V·Δ/(yield·purity), with
 * the yield in mg or meq per gram of the pure formula and purity the mass fraction of that formula.
 * Check: 100 L, 2 mg/L N, NH4Cl pure → 0.7638 g.
 */
export const gramsForChange = (litres: number, change: number, yieldPerGram: number, purity = 1): number =>
  (litres * change) / (yieldPerGram * purity);
