import {
  alkalinityPerMole,
  compositionOf,
  FormulaFault,
  gramsForChange,
  milliequivalentsPerGram,
  milligramsPerGram,
  molarMass,
} from '@brinewright/seawater';
import { describe, expect, it } from 'vitest';

describe('formulas', () => {
  it('reads the same hydrate in every spelling', () => {
    const spellings = [
      'CaCl2(H2O)2',
      'CaCl2·2H2O',
      'CaCl2.2H2O',
      'CaCl2*2H2O',
      'CaCl2 · 2 H2O',
      'CaCl₂•2H₂O',
    ];
    for (const spelling of spellings) expect(molarMass(spelling)).toBeCloseTo(147.015, 2);
  });
  it('counts nested brackets and fractional hydrates', () => {
    expect(Object.fromEntries(compositionOf('Ca[Al(OH)4]2'))).toEqual({ Ca: 1, Al: 2, O: 8, H: 8 });
    expect(Object.fromEntries(compositionOf('CaSO4·0.5H2O'))).toEqual({ Ca: 1, S: 1, O: 4.5, H: 1 });
  });
  it('drops a trailing charge', () => {
    expect(molarMass('NH4+')).toBeCloseTo(18.0385, 3);
  });
  it.each(['', 'NaCl)', '(NaCl', 'nacl', 'Xx2', 'CaCl2..H2O', '2'])('refuses "%s"', (formula) => {
    expect(() => molarMass(formula)).toThrow(FormulaFault);
  });
});

describe('reagents', () => {
  it.each([
    ['NaHCO3', 1],
    ['Na2CO3', 2],
    ['K2CO3', 2],
    ['NaOH', 1],
    ['Ca(OH)2', 2],
    ['CaCO3', 2],
    ['NH3', 1],
    ['NH4OH', 1],
    ['NH4HCO3', 1],
    ['(NH4)2CO3', 2],
    ['Na2B4O7·10H2O', 2],
    ['Na3PO4', 2],
    ['Na2HPO4', 1],
    ['HCl', -1],
    ['H2SO4', -2],
    ['NH4Cl', 0],
    ['NaNO3', 0],
    ['Ca(NO3)2', 0],
    ['NH4NO3', 0],
    ['(NH4)2SO4', 0],
    ['KH2PO4', 0],
    ['CaCl2·2H2O', 0],
    ['MgSO4·7H2O', 0],
    ['MgCl2(H2O)6', 0],
  ])('%s adds %d equivalents a mole', (formula, equivalents) => {
    expect(alkalinityPerMole(formula)).toBeCloseTo(equivalents, 12);
  });
  it('does not guess what urea or thiosulfate does to alkalinity', () => {
    expect(() => alkalinityPerMole('CO(NH2)2')).toThrow(/N in it/);
    expect(() => alkalinityPerMole('Na2S2O3')).toThrow(/S in it/);
  });
  it('gives published yields', () => {
    expect(milliequivalentsPerGram('Na2CO3')).toBeCloseTo(18.87, 2);
    expect(milligramsPerGram('CaCl2·2H2O', 'Ca')).toBeCloseTo(272.6, 1);
    expect(milligramsPerGram('MgSO4·7H2O', 'Mg')).toBeCloseTo(98.61, 2);
  });
  it('needs 3.819 mg of ammonium chloride per mg of nitrogen', () => {
    expect(1000 * gramsForChange(1, 1, milligramsPerGram('NH4Cl', 'N'))).toBeCloseTo(3.819, 3);
  });
});
