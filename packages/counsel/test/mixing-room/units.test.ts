import { InputFault, inSystem, parseQuantity, readReferencePair, sayFigure } from '@brinewright/counsel';
import { salinityFromConductivity } from '@brinewright/seawater';
import { describe, expect, it } from 'vitest';

const value = (kind: Parameters<typeof parseQuantity>[1], text: string) =>
  parseQuantity('x', kind, text).value;

describe('what a keeper writes', () => {
  it.each([
    ['volume', '200', 200],
    ['volume', '55 US gal', 208.1976],
    ['volume', '55 UK gal', 250.035],
    ['volume', '250 mL', 0.25],
    ['length', '48 in', 121.92],
    ['length', '4 ft', 121.92],
    ['mass', '2.5 kg', 2500],
    ['mass', '1 lb', 453.592],
    ['temperature', '77 F', 25],
    ['temperature', '77 °F', 25],
    ['temperature', '-1.5 C', -1.5],
    ['alkalinity', '7 dKH', 2.4964],
    ['alkalinity', '125 mg/L CaCO3', 2.4978],
    ['nitrogen', '2 mg/L NH3', 1.6449],
    ['nitrogen', '20 ppm as NO3', 4.518],
    ['nitrogen', '1 N', 1],
    ['nitrogenMass', '1.53 g NH4Cl', 400.63],
    ['nitrogenMass', '400', 400],
    ['phosphorus', '0.1 mg/L PO4', 0.0326],
    ['strength', '10 % NH3', 82.245],
    ['strength', '30 g/L NH4Cl', 7.8555],
    ['fraction', '20 %', 0.2],
    ['flow', '10 mL/min', 0.6],
    ['salinity', '35 ppt', 35],
    ['salinity', '1.0264 at 25/25', 35.04],
    ['salinity', '1.0264 SG at 77F/77F', 35.04],
  ] as const)('%s "%s"', (kind, text, expected) => {
    expect(Math.abs(value(kind, text) / expected - 1)).toBeLessThan(5e-4);
  });
  it('takes an error along, in the same unit', () => {
    expect(parseQuantity('x', 'volume', '55 ± 2 US gal').sd).toBeCloseTo(7.571, 3);
    expect(parseQuantity('x', 'temperature', '77 +/- 1.8 F').sd).toBeCloseTo(1, 9);
    expect(parseQuantity('x', 'salinity', '1.0264±0.0005 at 25/25').sd).toBeCloseTo(0.66, 2);
  });
  it('reads a conductivity at its temperature', () => {
    expect(value('salinity', '53 mS/cm at 77 F')).toBeCloseTo(salinityFromConductivity(53, 25), 9);
  });
  it('reads any pair of reference temperatures', () => {
    expect(readReferencePair('scale', '60F/60F').sampleC).toBeCloseTo(15.556, 3);
    expect(readReferencePair('scale', '60/60F').waterC).toBeCloseTo(15.556, 3);
    expect(readReferencePair('scale', '23C/4C')).toEqual({ sampleC: 23, waterC: 4 });
  });
});

describe('what would have to be guessed is refused, with the field and the remedy', () => {
  it.each([
    ['volume', '55 gal', /US or UK/],
    ['volume', '55 barrels', /barrels/],
    ['volume', '1,000', /not a number/],
    ['volume', '', /not a number/],
    ['volume', '10 ± -2', /below zero/],
    ['nitrogen', '2', /does not say what it counts/],
    ['nitrogen', '2 mg/L', /does not say what it counts/],
    ['nitrogen', '2 mg/L NH5', /not known/],
    ['salinity', '1.025', /specific gravity/],
    ['salinity', '1.025 SG', /temperature it refers to/],
    ['salinity', '53 mS/cm', /temperature it refers to/],
    ['salinity', '1.2 at 25/25', /no salinity/],
    ['strength', '10 %', /not a strength/],
    ['strength', '10 % NaCl', /no nitrogen/],
    ['nitrogenMass', '3 drops', /not known/],
    ['temperature', '300 K', /K/],
  ] as const)('%s "%s"', (kind, text, problem) => {
    expect(() => parseQuantity('litres', kind, text)).toThrow(problem);
    try {
      parseQuantity('litres', kind, text);
    } catch (error) {
      expect(error).toBeInstanceOf(InputFault);
      expect((error as InputFault).field).toBe('litres');
      expect((error as InputFault).remedy).not.toBe('');
    }
  });
});

describe('figures as people read them', () => {
  it('keeps two digits of the error, four of a number without one', () => {
    expect(sayFigure({ value: 204.34, sd: 6.07, unit: 'L' })).toBe('204.3 ± 6.1 L');
    expect(sayFigure({ value: 0.123456, sd: 0, unit: '' })).toBe('0.1235');
    expect(sayFigure({ value: 1.026374, sd: 0, unit: 'SG', digits: 6 })).toBe('1.02637 SG');
    expect(sayFigure({ value: 0, sd: 0, unit: 'L' })).toBe('0 L');
  });
  it('turns litres and degrees for readers used to others', () => {
    const litres = { name: 'x', title: 'x', value: 100, sd: 1, unit: 'L' };
    expect(inSystem(litres, 'us')).toMatchObject({ unit: 'US gal', value: expect.closeTo(26.417, 3) });
    expect(inSystem(litres, 'uk')).toMatchObject({ unit: 'UK gal', value: expect.closeTo(21.997, 3) });
    expect(inSystem({ ...litres, unit: '°C', value: 25 }, 'us')).toMatchObject({ value: 77, sd: 1.8 });
    expect(inSystem({ ...litres, unit: 'mg/L' }, 'us').unit).toBe('mg/L');
  });
});
