import { offsetFromTotal, type PHScale } from '../ph-scales.ts';
import type { RelationId } from '../range.ts';
import { pKAmmoniumCleggWhitfield1995 } from './clegg-whitfield-1995.ts';
import {
  pKAmmoniumBell2008,
  pKAmmoniumEmerson1975,
  pKAmmoniumEpa1989,
  pKAmmoniumJohanssonWedborg1980,
  pKAmmoniumStateRegulation,
  pKAmmoniumYaoMillero1995,
} from './others.ts';

/** Short code of a published pK of the ammonium ion. */
export type AmmoniaFormulation = 'CW95' | 'YM95' | 'JW80' | 'BELL07' | 'WAC173' | 'EPA89' | 'BB78' | 'EM75';

/** A published pK, the scale on which its numbers are used, and the entry that holds its range and source. */
export type Formulation = {
  code: AmmoniaFormulation;
  title: string;
  scale: PHScale;
  relation: RelationId;
  pK: (salinity: number, temperatureC: number) => number;
};

/** All formulations, the recommended one first. */
export const ammoniaFormulations: Readonly<Record<AmmoniaFormulation, Formulation>> = {
  CW95: {
    code: 'CW95',
    title: 'Clegg & Whitfield 1995',
    scale: 'total',
    relation: 'ammonium-CW95',
    pK: pKAmmoniumCleggWhitfield1995,
  },
  YM95: {
    code: 'YM95',
    title: 'Yao & Millero 1995',
    scale: 'SWS',
    relation: 'ammonium-YM95',
    pK: pKAmmoniumYaoMillero1995,
  },
  JW80: {
    code: 'JW80',
    title: 'Johansson & Wedborg 1980',
    scale: 'total',
    relation: 'ammonium-JW80',
    pK: pKAmmoniumJohanssonWedborg1980,
  },
  BELL07: {
    code: 'BELL07',
    title: 'Khoo et al. 1977 refitted by Bell et al. 2007',
    scale: 'free',
    relation: 'ammonium-BELL07',
    pK: pKAmmoniumBell2008,
  },
  WAC173: {
    code: 'WAC173',
    title: 'state water-quality regulation',
    scale: 'NBS',
    relation: 'ammonium-WAC173',
    pK: pKAmmoniumStateRegulation,
  },
  EPA89: {
    code: 'EPA89',
    title: 'US EPA 1989 saltwater criteria',
    scale: 'NBS',
    relation: 'ammonium-EPA89',
    pK: pKAmmoniumEpa1989,
  },
  BB78: {
    code: 'BB78',
    title: 'Bower & Bidwell 1978 table, by the constant that reproduces it within 2 %',
    scale: 'NBS',
    relation: 'ammonium-BB78',
    pK: (salinity, temperatureC) =>
      pKAmmoniumCleggWhitfield1995(salinity, temperatureC) + offsetFromTotal('free', salinity, temperatureC),
  },
  EM75: {
    code: 'EM75',
    title: 'Emerson et al. 1975 (fresh water)',
    scale: 'NBS',
    relation: 'ammonium-EM75',
    pK: (_salinity, temperatureC) => pKAmmoniumEmerson1975(temperatureC),
  },
};

/**
 * pK of the ammonium ion by any formulation, to be used with a pH on `scale`. A pK moves between scales as a pH
 * does. Check: CW95, NBS, S 35, 25 °C → 9.383.
 */
export function pKAmmonium(
  salinity: number,
  temperatureC: number,
  scale: PHScale,
  formulation: AmmoniaFormulation = 'CW95',
): number {
  const { pK, scale: own } = ammoniaFormulations[formulation];
  const value = pK(salinity, temperatureC);
  return own === scale
    ? value
    : value - offsetFromTotal(own, salinity, temperatureC) + offsetFromTotal(scale, salinity, temperatureC);
}
