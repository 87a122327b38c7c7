import { InputFault, mixingTools, toolOf, type Worked } from '@brinewright/counsel';
import { bodyProblems } from '@brinewright/journal';
import { describe, expect, it } from 'vitest';

/** One sensible filled-in sheet for each tool, beside its presets. */
const sheets: Readonly<Record<string, Record<string, string>>> = {
  'tank-volume': { length: '120', width: '50', waterHeight: '45', rock: '20', sand: '15' },
  'sump-volume': { length: '60', width: '40', runningHeight: '20', rimHeight: '38', baffles: '3' },
  'volume-by-dose': { dose: '400 mg N', before: '0 N', after: '2 ± 0.2 N' },
  'volume-by-salt': { salt: '500 g', before: '33 ± 0.1', after: '35 ± 0.1' },
  'new-batch': { litres: '100' },
  'calibrate-salt': { salt: '3.9 kg', water: '100', salinity: '35.2 ± 0.2' },
  'raise-salinity': { litres: '200 ± 10', from: '33', to: '35' },
  'lower-salinity': { litres: '200 ± 10', from: '37', to: '35' },
  'replace-evaporation': { litres: '190', now: '36.8' },
  'blend-waters': {
    litres: '100',
    otherLitres: '20',
    nitrate: '20 NO3',
    otherNitrate: '0 NO3',
    alkalinity: '2',
    otherAlkalinity: '3',
  },
  'water-changes': {
    litres: '200',
    nitrate: '80 NO3',
    target: '20 NO3',
    changes: '2',
    alkalinity: '2',
    newAlkalinity: '3',
  },
  'warm-new-water': { litres: '200', share: '20 %', tank: '24', wanted: '25' },
  'running-exchange': { litres: '200', nitrate: '80 NO3', target: '20 NO3' },
  'one-water': { temperature: '25', salinity: '35', ph: '8.1', alkalinity: '2.4', ammonia: '1 N' },
  hydrometer: { reading: '1.0245', scale: '60/60F' },
  'gravity-scales': {},
  refractometer: { reading: '35', compensated: 'no' },
  conductivity: { reading: '53' },
  'ammonia-from-salt': { litres: '200 ± 10' },
  'ammonia-from-bottle': { litres: '200', strength: '10 % NH3', dissolved: 'NH3' },
  'ammonia-stock': {},
  'dose-check': { dose: '400', litres: '200', before: '0 N', after: '1.2 ± 0.1 N' },
  'nitrogen-ions': { amount: '2 NH4' },
  'raise-alkalinity': { litres: '200', now: '6 dKH', target: '8 dKH', buffer: 'hydroxide' },
  'raise-calcium': { litres: '200', now: '380', target: '420' },
  'raise-magnesium': { litres: '200', now: '1200', target: '1300' },
};

const answers: [string, Worked][] = mixingTools.map((tool) => [tool.id, tool.answer(sheets[tool.id]!)]);

describe.each(answers)('%s', (id, answer) => {
  it('answers in finite numbers with units and errors', () => {
    expect(answer.results.length).toBeGreaterThan(0);
    for (const { value, sd } of answer.results) {
      expect(Number.isFinite(value)).toBe(true);
      expect(sd).toBeGreaterThanOrEqual(0);
    }
    for (const { rows, columns } of answer.tables)
      for (const row of rows) expect(row).toHaveLength(columns.length);
  });
  it('shows its working, each step with its relation and its source', () => {
    expect(answer.working.length).toBeGreaterThan(0);
    for (const { value, relation, source } of answer.working) {
      expect(Number.isFinite(value)).toBe(true);
      expect(relation).not.toBe('');
      expect(source).not.toBe('');
    }
  });
  it('gives entries a journal takes', () => {
    for (const { kind, body } of answer.entries) expect(bodyProblems(kind, body)).toEqual([]);
  });
  it('leaves no place open in a caution', () => {
    for (const { wording } of answer.cautions) expect(wording).not.toMatch(/[{}]/);
  });
  it('names every field it cannot do without', () => {
    const tool = toolOf(id)!;
    for (const [field, { preset, ...rest }] of Object.entries(tool.fields)) {
      if (preset !== undefined || 'optional' in rest) continue;
      const { [field]: _left, ...others } = sheets[id]!;
      expect(() => tool.answer(others)).toThrow(InputFault);
      expect(() => tool.answer(others)).toThrow(new RegExp(`^${field}: `));
    }
  });
});

describe('a sheet filled in wrongly', () => {
  const fault = (id: string, texts: Record<string, string>): InputFault => {
    try {
      toolOf(id)!.answer(texts);
    } catch (error) {
      if (error instanceof InputFault) return error;
      throw error;
    }
    throw new Error('it was taken');
  };
  it('names a field that does not exist', () => {
    expect(fault('new-batch', { litres: '100', colour: 'blue' })).toMatchObject({ field: 'colour' });
  });
  it('names a number out of bounds, with the bound', () => {
    expect(fault('new-batch', { litres: '-5' }).problem).toBe(
      '-5 L is below 0.01 L, the least that is taken here',
    );
  });
  it('names a choice that is not offered, with those that are', () => {
    expect(fault('tank-volume', { ...sheets['tank-volume'], shape: 'pyramid' })).toMatchObject({
      field: 'shape',
      remedy: 'Choose box, cylinder, bow-front, hexagon, quarter-round.',
    });
  });
  it('names a formula that cannot be read or brings nothing of what is wanted', () => {
    expect(fault('raise-calcium', { ...sheets['raise-calcium'], formula: 'CaClx' }).field).toBe('formula');
    expect(fault('raise-calcium', { ...sheets['raise-calcium'], formula: 'MgCl2' }).problem).toMatch(/no Ca/);
    expect(fault('ammonia-from-salt', { litres: '100', formula: 'NaCl' }).problem).toMatch(/no nitrogen/);
  });
});
