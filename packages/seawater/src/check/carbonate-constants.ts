import { lnKSulfateDickson1990 } from '../equilibrium/bisulfate.ts';
import { lnKBoricDickson1990 } from '../equilibrium/boric.ts';
import { log10KAragonite, log10KCalcite } from '../equilibrium/calcium-carbonate.ts';
import {
  carbonDioxideFugacityFactor,
  lnKCarbonDioxideWeiss1974,
  waterVapourPressure,
} from '../equilibrium/carbon-dioxide-gas.ts';
import { pKCarbonicLueker2000, pKCarbonicMillero2010 } from '../equilibrium/carbonic.ts';
import { lnKFluorideDicksonRiley1979, lnKFluoridePerezFraga1987 } from '../equilibrium/fluoride.ts';
import { lnKPhosphoricHandbook2007, lnKPhosphoricYaoMillero1995 } from '../equilibrium/phosphoric.ts';
import {
  totalBoronLee2010,
  totalBoronUppstrom1974,
  totalCalcium,
  totalFluoride,
  totalSulfate,
} from '../equilibrium/totals.ts';
import { lnKWaterHandbook2007, lnKWaterMillero1995 } from '../equilibrium/water.ts';
import { type LnConstant, offsetFromTotal, type PHScale } from '../ph-scales.ts';
import { numberIn, RowFault, salinityIn, scaleNamed } from './row.ts';
import type { Evaluator, Topic } from './topic.ts';

/** One published constant: natural logarithm, and the scale it was published on (none for a gas or a mineral). */
type Published = { lnK: LnConstant; scale?: PHScale };

const fromPK =
  (pK: LnConstant): LnConstant =>
  (s, t) =>
    -Math.LN10 * pK(s, t);

const fromLog10 =
  (log10K: LnConstant): LnConstant =>
  (s, t) =>
    Math.LN10 * log10K(s, t);

const phosphoric = (step: 'lnK1' | 'lnK2' | 'lnK3'): Record<string, Published> => ({
  YM95: { lnK: (s, t) => lnKPhosphoricYaoMillero1995(s, t)[step], scale: 'SWS' },
  DSC07: { lnK: (s, t) => lnKPhosphoricHandbook2007(s, t)[step], scale: 'total' },
});

/** Constants by name and author; the first author is the one meant where none is named. */
const published: Readonly<Record<string, Readonly<Record<string, Published>>>> = {
  K0: { W74: { lnK: lnKCarbonDioxideWeiss1974 } },
  K1: {
    L00: { lnK: fromPK((s, t) => pKCarbonicLueker2000(s, t).pK1), scale: 'total' },
    M10: { lnK: fromPK((s, t) => pKCarbonicMillero2010(s, t).pK1), scale: 'SWS' },
  },
  K2: {
    L00: { lnK: fromPK((s, t) => pKCarbonicLueker2000(s, t).pK2), scale: 'total' },
    M10: { lnK: fromPK((s, t) => pKCarbonicMillero2010(s, t).pK2), scale: 'SWS' },
  },
  KB: { D90b: { lnK: lnKBoricDickson1990, scale: 'total' } },
  KW: {
    M95: { lnK: lnKWaterMillero1995, scale: 'SWS' },
    DSC07: { lnK: lnKWaterHandbook2007, scale: 'total' },
  },
  KS: { D90a: { lnK: lnKSulfateDickson1990, scale: 'free' } },
  KF: {
    DR79: { lnK: lnKFluorideDicksonRiley1979, scale: 'free' },
    PF87: { lnK: lnKFluoridePerezFraga1987, scale: 'free' },
  },
  KP1: phosphoric('lnK1'),
  KP2: phosphoric('lnK2'),
  KP3: phosphoric('lnK3'),
  Karagonite: { MU83: { lnK: fromLog10(log10KAragonite) } },
  Kcalcite: { MU83: { lnK: fromLog10(log10KCalcite) } },
};

const logarithms: Readonly<Record<string, (lnK: number) => number>> = {
  ln: (lnK) => lnK,
  log10: (lnK) => lnK / Math.LN10,
  p: (lnK) => -lnK / Math.LN10,
};

/** `lnKW_M95_sws`: logarithm, constant, author (first by default), scale (as published by default). */
function constantEvaluator(parts: RegExpExecArray): Evaluator {
  const [, logarithm, constant, author, scaleName] = parts;
  const authors = published[constant!]!;
  const choice = author === undefined ? Object.values(authors)[0] : authors[author];
  if (choice === undefined)
    return () => {
      throw new RowFault(`${constant} of "${author}" is not one of ${Object.keys(authors).join(', ')}`);
    };
  return (row) => {
    const salinity = salinityIn(row);
    const t = numberIn(row, 't');
    const { lnK, scale } = choice;
    const wanted = scaleName === undefined ? scale : scaleNamed(scaleName);
    const shift =
      scale === undefined || wanted === undefined || wanted === scale
        ? 0
        : offsetFromTotal(scale, salinity, t) - offsetFromTotal(wanted, salinity, t);
    return logarithms[logarithm!]!(lnK(salinity, t) + Math.LN10 * shift);
  };
}

/** Equilibrium constants, totals that follow salinity, and the gas. */
export const carbonateConstantsTopic: Topic = {
  quantities: {
    total_borate_U74_umol_kg: (row) => 1e6 * totalBoronUppstrom1974(salinityIn(row)),
    total_borate_L10_umol_kg: (row) => 1e6 * totalBoronLee2010(salinityIn(row)),
    total_sulfate_umol_kg: (row) => 1e6 * totalSulfate(salinityIn(row)),
    total_fluoride_umol_kg: (row) => 1e6 * totalFluoride(salinityIn(row)),
    total_calcium_umol_kg: (row) => 1e6 * totalCalcium(salinityIn(row)),
    pH2O_atm: (row) => waterVapourPressure(salinityIn(row), numberIn(row, 't')),
    fugacity_factor: (row) => carbonDioxideFugacityFactor(numberIn(row, 't')),
  },
  families: [
    {
      pattern:
        /^(ln|log10|p)(K0|K1|K2|KB|KW|KS|KF|KP[123]|Karagonite|Kcalcite)(?:_(?!sws|total|free|nbs)([A-Za-z]+\d+[a-z]?))?(?:_(sws|total|free|nbs))?$/,
      evaluator: constantEvaluator,
    },
  ],
};
