import {
  type AlkalinityUnit,
  type ConcentrationScale,
  type ConcentrationUnit,
  convertAlkalinity,
  convertConcentration,
} from '../concentration-units.ts';
import { density } from '../density.ts';
import { FormulaFault } from '../formula.ts';
import { numberIn, RowFault, salinityIn, type TableRow } from './row.ts';
import type { Evaluator, Topic } from './topic.ts';

const alkalinityNames: Readonly<Record<string, AlkalinityUnit>> = {
  dKH: 'dKH',
  meq_L: 'meq/L',
  mg_L_CaCO3: 'mg/L CaCO3',
  ppm_CaCO3: 'mg/L CaCO3',
  TA_umol_kg: 'umol/kg',
  umol_kg: 'umol/kg',
};

/** `mgL_NO3`, `mg_L_NO3`, `umolkg_N`, `ppm_Ca`. */
function concentrationNamed(name: string): ConcentrationScale | undefined {
  const parts = /^(?:(ppm)|(g|mg|ug|mmol|umol)_?(L|kg))_([A-Za-z0-9()]+)$/.exec(name);
  if (!parts) return undefined;
  const [, ppm, amount, per, substance] = parts;
  return { unit: ppm ? 'mg/L' : (`${amount}/${per}` as ConcentrationUnit), substance: substance! };
}

/** Density of the row's water, asked for only where a litre meets a kilogram. */
const densityIn = (row: TableRow, needed: boolean): number =>
  needed ? density(salinityIn(row), numberIn(row, 't')) : 1000;

function conversion(fromName: string, toName: string): Evaluator {
  const from = alkalinityNames[fromName];
  const to = alkalinityNames[toName];
  if (from && to)
    return (row) => {
      const rho = densityIn(row, (from === 'umol/kg') !== (to === 'umol/kg'));
      return convertAlkalinity(numberIn(row, 'value'), from, to, rho);
    };
  const a = concentrationNamed(fromName);
  const b = concentrationNamed(toName);
  if (a && b)
    return (row) => {
      const rho = densityIn(row, a.unit.endsWith('kg') !== b.unit.endsWith('kg'));
      return converted(numberIn(row, 'value'), a, b, rho);
    };
  return () => {
    throw new RowFault(`no conversion from "${fromName}" to "${toName}" is known`);
  };
}

function converted(value: number, a: ConcentrationScale, b: ConcentrationScale, rho: number): number {
  try {
    const result = convertConcentration(value, a, b, rho);
    if (Number.isNaN(result)) throw new RowFault(`a mole of ${a.substance} is not a mole of ${b.substance}`);
    return result;
  } catch (error) {
    if (error instanceof FormulaFault) throw new RowFault(error.message);
    throw error;
  }
}

/** Conversions, `FROM_to_TO` with the number in `value`. */
export const unitsTopic: Topic = {
  quantities: {},
  families: [{ pattern: /^(.+)_to_(.+)$/, evaluator: (parts) => conversion(parts[1]!, parts[2]!) }],
};
