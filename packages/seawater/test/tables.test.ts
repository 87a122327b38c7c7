import { checkRow } from '@brinewright/seawater';
import { describe, expect, it } from 'vitest';
import { readTable, tableNames } from './read-table.ts';

/** Rows in all tables together: a table that is not found, or read short, must not pass unseen. */
const ROWS = 224;

describe('published and independently computed values', () => {
  it(`reads ${ROWS} rows`, () => {
    expect(tableNames().flatMap(readTable)).toHaveLength(ROWS);
  });

  for (const name of tableNames()) {
    describe(name, () => {
      for (const [i, row] of readTable(name).entries()) {
        it(`row ${i + 2}: ${row.quantity}`, () => {
          expect(checkRow(row)).toMatchObject({ outcome: 'passed' });
        });
      }
    });
  }
});

describe('rows that cannot be evaluated', () => {
  const reasonOf = (row: Record<string, string>): string => {
    const verdict = checkRow({ expected: '1', tolerance: '1', ...row });
    return verdict.outcome === 'skipped' ? verdict.reason : `not skipped: ${verdict.outcome}`;
  };

  it('names an unknown quantity', () => {
    expect(reasonOf({ quantity: 'viscosity', S: '35', t: '25' })).toContain('"viscosity"');
  });
  it('does not take the names of object members for quantities', () => {
    expect(reasonOf({ quantity: 'toString' })).toContain('"toString"');
    expect(
      reasonOf({ quantity: 'nh3_fraction', S: '35', t: '25', pH: '8', formulation: 'constructor' }),
    ).toContain('formulation "constructor"');
  });
  it('names a missing input', () => {
    expect(reasonOf({ quantity: 'rho_eos80', S: '35', t: '' })).toBe('t is missing');
  });
  it('names an input that is no number', () => {
    expect(reasonOf({ quantity: 'rho_eos80', S: '35', t: 'warm' })).toContain('t is "warm"');
  });
  it('names a missing tolerance rather than passing the row', () => {
    expect(reasonOf({ quantity: 'rho_eos80', S: '35', t: '25', tolerance: '' })).toBe('tolerance is missing');
  });
  it('names an unknown scale, formulation, set and formula', () => {
    expect(reasonOf({ quantity: 'pK_NH4', S: '35', t: '25', pH_scale: 'litmus' })).toContain('"litmus"');
    expect(reasonOf({ quantity: 'pK_NH4', S: '35', t: '25', formulation: 'XY99' })).toContain('"XY99"');
    expect(
      reasonOf({
        quantity: 'pH_total',
        S: '35',
        t: '25',
        TA_umol_kg: '2300',
        DIC_umol_kg: '2000',
        set: 'L00',
      }),
    ).toContain('7 are expected');
    expect(reasonOf({ quantity: 'molar_mass', formula: 'NaQx' })).toContain('"Qx"');
  });
  it('asks for exactly two carbonate quantities', () => {
    expect(reasonOf({ quantity: 'pH_total', S: '35', t: '25', TA_umol_kg: '2300' })).toContain('1 given');
  });
  it('refuses a conversion between substances that do not share moles', () => {
    expect(reasonOf({ quantity: 'mgL_N_to_mgL_Ca', value: '1' })).toContain('not a mole of Ca');
  });
});

describe('quantities beyond the tables', () => {
  const checked = (row: Record<string, string>, expected: number, tolerance: number) =>
    checkRow({ ...row, expected: String(expected), tolerance: String(tolerance) });

  it('moves an ammonium pK to any scale', () => {
    // 9.2458 + log(1 + S_T/K_S) = 9.354; + the NBS offset 0.137 = 9.383.
    const at = { quantity: 'pK_NH4', S: '35', t: '25' };
    expect(checked({ ...at, formulation: 'CW95', pH_scale: 'free' }, 9.3535, 0.0005).outcome).toBe('passed');
    expect(checked({ ...at, formulation: 'CW95', pH_scale: 'NBS' }, 9.3828, 0.0005).outcome).toBe('passed');
    expect(checked({ ...at, formulation: 'JW80' }, 9.2585, 0.0006).outcome).toBe('passed');
    expect(checked({ ...at, formulation: 'Bell08' }, 9.3609, 0.0001).outcome).toBe('passed');
    expect(checked({ ...at, formulation: 'EPA89' }, 9.3288, 0.0005).outcome).toBe('passed');
    expect(checked({ ...at, formulation: 'WAC173' }, 9.3531, 0.0005).outcome).toBe('passed');
  });
  it('gives the handbook variants of the phosphate constants', () => {
    const at = { S: '33', t: '26' };
    expect(checked({ quantity: 'lnKP2_DSC07', ...at }, -13.7393, 0.0003).outcome).toBe('passed');
  });
  it('gives the seawater calcium carbonate solubilities of Mucci 1983', () => {
    const at = { S: '35', t: '25' };
    expect(checked({ quantity: 'log10Karagonite', ...at }, -6.1883, 0.0001).outcome).toBe('passed');
    expect(checked({ quantity: 'log10Kcalcite', ...at }, -6.3693, 0.0001).outcome).toBe('passed');
  });
  it('converts µmol/kg with the density of the row', () => {
    const row = { quantity: 'meq_L_to_TA_umol_kg', value: '2.3537', S: '35', t: '25' };
    expect(checked(row, 2300, 0.3).outcome).toBe('passed');
  });
});
