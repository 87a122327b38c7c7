import {
  pKAmmoniumFreeMolalCleggWhitfield1995,
  pKAmmoniumMolalCleggWhitfield1995,
} from '../ammonia/clegg-whitfield-1995.ts';
import { type AmmoniaFormulation, ammoniaFormulations, pKAmmonium } from '../ammonia/formulations.ts';
import { freeAmmoniaShare } from '../ammonia/fraction.ts';
import { waterFraction } from '../equilibrium/totals.ts';
import { numberIn, RowFault, salinityIn, scaleNamed, type TableRow, textIn } from './row.ts';
import type { Topic } from './topic.ts';

/** Other short codes in use for the same formulations; years are cut to two digits first. */
const aliases: Readonly<Record<string, AmmoniaFormulation>> = {
  EMERSON75: 'EM75',
  BELL08: 'BELL07',
  KCB77: 'BELL07',
  KHOO77: 'BELL07',
  M95: 'YM95',
  USEPA89: 'EPA89',
  WA: 'WAC173',
  WAC: 'WAC173',
  STATE: 'WAC173',
};

function formulationIn(row: TableRow): AmmoniaFormulation {
  const name = textIn(row, 'formulation') ?? 'CW95';
  const key = name.toUpperCase().replace(/(?:19|20)(\d\d)$/, '$1');
  if (Object.hasOwn(ammoniaFormulations, key)) return key as AmmoniaFormulation;
  const alias = aliases[key];
  if (alias === undefined)
    throw new RowFault(`formulation "${name}" is not one of ${Object.keys(ammoniaFormulations).join(', ')}`);
  return alias;
}

/**
 * pK for the row's formulation and scale. `…_molal` leaves the constant per kilogram of water and applies it to the
 * pH as it stands, as one published package does; [CW95] has a fit of its own for that on the free scale.
 */
function pKIn(row: TableRow): number {
  const salinity = salinityIn(row);
  const t = numberIn(row, 't');
  const formulation = formulationIn(row);
  const scale = textIn(row, 'pH_scale') ?? ammoniaFormulations[formulation].scale;
  const molal = /^(\w+)_molal$/i.exec(scale)?.[1];
  if (molal === undefined) return pKAmmonium(salinity, t, scaleNamed(scale), formulation);
  const named = scaleNamed(molal);
  if (formulation === 'CW95' && named === 'total') return pKAmmoniumMolalCleggWhitfield1995(salinity, t);
  if (formulation === 'CW95' && named === 'free') return pKAmmoniumFreeMolalCleggWhitfield1995(salinity, t);
  return pKAmmonium(salinity, t, named, formulation) + Math.log10(waterFraction(salinity));
}

const fraction = (row: TableRow): number => freeAmmoniaShare(numberIn(row, 'pH'), pKIn(row));

/** The ammonium ion. */
export const ammoniaTopic: Topic = {
  quantities: {
    pK_NH4: pKIn,
    nh3_fraction: fraction,
    nh3_percent: (row) => 100 * fraction(row),
  },
  families: [
    {
      // Total ammonia, counted as NH3, at which free ammonia reaches the level in the name.
      pattern: /^total_ammonia_at_(\d+(?:\.\d+)?)_nh3$/,
      evaluator: (parts) => (row) => Number(parts[1]) / fraction(row),
    },
  ],
};
