import { oxygenSaturationMgL, oxygenSaturationUmolKg } from '../oxygen.ts';
import { numberIn, optionalNumber, salinityIn, type TableRow } from './row.ts';
import type { Topic } from './topic.ts';

const inputs = (row: TableRow): [number, number, number] => [
  salinityIn(row),
  numberIn(row, 't'),
  optionalNumber(row, 'P_atm') ?? 1,
];

/** Oxygen saturation. */
export const oxygenTopic: Topic = {
  quantities: {
    o2_sat_umol_kg: (row) => oxygenSaturationUmolKg(...inputs(row)),
    o2_sat_mg_L: (row) => oxygenSaturationMgL(...inputs(row)),
  },
};
