import {
  freshWaterToLower,
  kesterHydration,
  mixedSalinity,
  mixedTemperature,
  type Parcel,
  saltForVolume,
  saltToRaise,
  waterMass,
} from '../mixing.ts';
import { numberIn, optionalNumber, RowFault, salinityIn, type TableRow } from './row.ts';
import type { Topic } from './topic.ts';

/** One of the two waters of a row. */
function parcelIn(row: TableRow, which: 1 | 2): Parcel {
  const salinity = salinityIn(row, `S${which}`);
  const temperatureC = numberIn(row, `t${which}`);
  return { kg: waterMass(numberIn(row, `V${which}_L`), salinity, temperatureC), salinity, temperatureC };
}

const parcels = (row: TableRow): Parcel[] => [parcelIn(row, 1), parcelIn(row, 2)];

/** Mass of the row's `V_L` of water at its first salinity. */
const massIn = (row: TableRow): number =>
  waterMass(numberIn(row, 'V_L'), salinityIn(row, 'S_from'), numberIn(row, 't'));

/** Salt for finished water. */
function saltIn(row: TableRow): number {
  const from = optionalNumber(row, 'S_from') ?? 0;
  if (from !== 0)
    throw new RowFault('anhydrous_salt_g starts from fresh water; anhydrous_salt_g_to_raise from salt water');
  return saltForVolume(numberIn(row, 'V_L'), salinityIn(row, 'S_to'), numberIn(row, 't'));
}

/** Mixing, salt and evaporation. */
export const mixingTopic: Topic = {
  quantities: {
    mix_S: (row) => mixedSalinity(parcels(row)),
    mix_t: (row) => mixedTemperature(parcels(row)),
    anhydrous_salt_g: saltIn,
    anhydrous_salt_g_to_raise: (row) =>
      saltToRaise(massIn(row), salinityIn(row, 'S_from'), salinityIn(row, 'S_to')),
    fresh_water_kg_to_lower: (row) =>
      freshWaterToLower(massIn(row), salinityIn(row, 'S_from'), salinityIn(row, 'S_to')),
    hydration_factor_kester1967: () => kesterHydration(),
  },
};
