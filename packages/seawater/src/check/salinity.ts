import { densityT68, salinityFromDensityT68 } from '../density.ts';
import { heatCapacityT68 } from '../heat-capacity.ts';
import { ratioFromSalinityT68, STANDARD_CONDUCTIVITY, salinityFromRatioT68 } from '../practical-salinity.ts';
import { salinityFromSaltPerKilogram, saltPerKilogram } from '../reference-salinity.ts';
import { numberIn, optionalNumber, salinityIn, type TableRow, t68In } from './row.ts';
import type { Evaluator, Topic } from './topic.ts';

const pressure = (row: TableRow): number => optionalNumber(row, 'p_dbar') ?? 0;

const salinityFromC: Evaluator = (row) =>
  salinityFromRatioT68(numberIn(row, 'C_mS_cm') / STANDARD_CONDUCTIVITY, t68In(row), pressure(row));

const conductivityFromS: Evaluator = (row) =>
  STANDARD_CONDUCTIVITY * ratioFromSalinityT68(salinityIn(row), t68In(row), pressure(row));

const eos80: Evaluator = (row) => densityT68(salinityIn(row), t68In(row));

/** Practical salinity, density and heat capacity. */
export const salinityTopic: Topic = {
  quantities: {
    S_from_R: (row) => salinityFromRatioT68(numberIn(row, 'R'), t68In(row), pressure(row)),
    R_from_S: (row) => ratioFromSalinityT68(salinityIn(row), t68In(row), pressure(row)),
    S_from_C: salinityFromC,
    S_from_C_low: salinityFromC,
    C_from_S: conductivityFromS,
    C_from_S_low: conductivityFromS,
    rho_eos80: eos80,
    rho_crosscheck_teos10: eos80,
    S_from_rho: (row) => salinityFromDensityT68(numberIn(row, 'rho'), t68In(row)),
    SA_reference_g_kg: (row) => saltPerKilogram(salinityIn(row)),
    S_from_SA: (row) => salinityFromSaltPerKilogram(numberIn(row, 'SA_g_kg')),
    cp_J_kg_K: (row) => heatCapacityT68(salinityIn(row), t68In(row)),
  },
};
