import type { ConstantSet } from '../carbonate/constants.ts';
import {
  type CarbonatePair,
  type CarbonateSystem,
  type CarbonateWater,
  carbonateSystem,
} from '../carbonate/system.ts';
import { aragoniteSaturation } from '../equilibrium/calcium-carbonate.ts';
import { carbonDioxidePressure } from '../equilibrium/carbon-dioxide-gas.ts';
import { totalCalcium } from '../equilibrium/totals.ts';
import {
  movedPH,
  numberIn,
  optionalNumber,
  RowFault,
  salinityIn,
  scaleNamed,
  type TableRow,
  textIn,
} from './row.ts';
import type { Evaluator, Topic } from './topic.ts';

/** What each place of a `set` may hold: K1K2 / K_S / K_F / K_B / K_W / K_0 / B_T. */
const places: readonly { name: string; codes: Readonly<Record<string, Partial<ConstantSet>>> }[] = [
  { name: 'K1 K2', codes: { L00: { carbonic: 'L00' }, M10: { carbonic: 'M10' } } },
  { name: 'K_S', codes: { D90a: {} } },
  { name: 'K_F', codes: { DR79: { fluoride: 'DR79' }, PF87: { fluoride: 'PF87' } } },
  { name: 'K_B', codes: { D90b: {} } },
  {
    name: 'K_W',
    codes: { M95: { water: 'M95' }, DSC07: { water: 'DSC07', phosphoric: 'DSC07' } },
  },
  { name: 'K_0', codes: { W74: {} } },
  { name: 'B_T', codes: { U74: { boron: 'U74' }, L10: { boron: 'L10' } } },
];

/** Constants named by the row's `set`; the defaults where there is none. */
function constantsIn(row: TableRow): Partial<ConstantSet> {
  const set = textIn(row, 'set');
  if (set === undefined) return {};
  const codes = set.split('/').map((code) => code.trim());
  if (codes.length !== places.length)
    throw new RowFault(`set "${set}" has ${codes.length} parts, ${places.length} are expected`);
  const chosen: Partial<ConstantSet> = {};
  for (const [i, { name, codes: known }] of places.entries()) {
    const code = codes[i]!;
    if (!Object.hasOwn(known, code))
      throw new RowFault(`${name} of "${code}" is not one of ${Object.keys(known).join(', ')}`);
    Object.assign(chosen, known[code]);
  }
  return chosen;
}

/** The given pH of the row on the total scale, whichever scale its column names. */
function pHIn(row: TableRow): number | undefined {
  for (const name of ['total', 'sws', 'free', 'nbs']) {
    const pH = optionalNumber(row, `pH_${name}`);
    if (pH !== undefined) return movedPH(row, pH, scaleNamed(name), 'total');
  }
  return undefined;
}

/** pCO2 in µatm from the row's pCO2 or from its share of dry air. */
function pCO2In(row: TableRow): number | undefined {
  const given = optionalNumber(row, 'pCO2_uatm');
  const ppm = optionalNumber(row, 'xCO2_ppm');
  if (given !== undefined || ppm === undefined) return given;
  return carbonDioxidePressure(ppm, salinityIn(row), numberIn(row, 't'), optionalNumber(row, 'P_atm') ?? 1);
}

/** The two given quantities. */
function pairIn(row: TableRow): CarbonatePair {
  const given = {
    alkalinity: optionalNumber(row, 'TA_umol_kg'),
    dic: optionalNumber(row, 'DIC_umol_kg'),
    pH: pHIn(row),
    pCO2: pCO2In(row),
  };
  const known = Object.entries(given).filter(([, value]) => value !== undefined);
  if (known.length !== 2)
    throw new RowFault(
      `exactly two of TA_umol_kg, DIC_umol_kg, pH and pCO2_uatm or xCO2_ppm are needed, ${known.length} given`,
    );
  return Object.fromEntries(known) as CarbonatePair;
}

function systemIn(row: TableRow): CarbonateSystem {
  const water: CarbonateWater = {
    salinity: salinityIn(row),
    temperatureC: numberIn(row, 't'),
    totalAmmonia: optionalNumber(row, 'TNH_umol_kg') ?? 0,
    totalPhosphate: optionalNumber(row, 'TPO4_umol_kg') ?? 0,
    constants: constantsIn(row),
  };
  return carbonateSystem(pairIn(row), water);
}

const part =
  (name: keyof CarbonateSystem): Evaluator =>
  (row) =>
    systemIn(row)[name];

/** The carbonate system. */
export const carbonateSystemTopic: Topic = {
  quantities: {
    TA_umol_kg: part('alkalinity'),
    DIC_umol_kg: part('dic'),
    pCO2_uatm: part('pCO2'),
    fCO2_uatm: part('fCO2'),
    xCO2_ppm: part('xCO2'),
    CO2_umol_kg: part('co2'),
    HCO3_umol_kg: part('bicarbonate'),
    CO3_umol_kg: part('carbonate'),
    BOH4_umol_kg: part('borate'),
    OH_umol_kg: part('hydroxide'),
    omega_aragonite: (row) =>
      aragoniteSaturation(
        1e6 * totalCalcium(salinityIn(row)),
        systemIn(row).carbonate,
        salinityIn(row),
        numberIn(row, 't'),
      ),
  },
  families: [
    {
      pattern: /^pH_(total|sws|free|nbs)$/,
      evaluator: (parts) => (row) => movedPH(row, systemIn(row).pH, 'total', scaleNamed(parts[1]!)),
    },
  ],
};
