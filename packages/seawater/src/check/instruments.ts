import {
  refractiveIndexMillardSeaver1990,
  refractiveIndexQuanFry1995,
  SODIUM_D_NM,
} from '../refractive-index.ts';
import { sodiumChlorideEquivalent } from '../refractometer.ts';
import { salinityFromSpecificGravity, specificGravity } from '../specific-gravity.ts';
import { numberIn, optionalNumber, salinityIn, type TableRow, t90In } from './row.ts';
import type { Evaluator, Topic } from './topic.ts';

const pair = (row: TableRow) => ({ sampleC: t90In(row, 't_sample'), waterC: t90In(row, 't_water') });

const wavelength = (row: TableRow): number => optionalNumber(row, 'lambda_nm') ?? SODIUM_D_NM;

const quanFry: Evaluator = (row) =>
  refractiveIndexQuanFry1995(salinityIn(row), numberIn(row, 't'), wavelength(row));

/** Specific gravity and refractive index. */
export const instrumentsTopic: Topic = {
  quantities: {
    sg: (row) => specificGravity(salinityIn(row), pair(row)),
    S_from_sg: (row) => salinityFromSpecificGravity(numberIn(row, 'sg'), pair(row)),
    n_seawater: quanFry,
    n_seawater_QF95: quanFry,
    n_seawater_MS90: (row) =>
      refractiveIndexMillardSeaver1990(salinityIn(row), numberIn(row, 't'), wavelength(row)),
    nacl_equivalent_g_kg: (row) => sodiumChlorideEquivalent(salinityIn(row)),
  },
};
