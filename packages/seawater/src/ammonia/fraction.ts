import type { PHScale } from '../ph-scales.ts';
import { type AmmoniaFormulation, ammoniaFormulations, pKAmmonium } from './formulations.ts';

/** What decides the share of ammonia that is un-ionised. */
export type AmmoniaWater = { pH: number; pHScale: PHScale; salinity: number; temperatureC: number };

/** Share of NH3 in NH3 + NH4⁺, 0…1, for a pH and a pK on the same scale. Check: 8.0, 9.2458 → 0.0537. */
export const freeAmmoniaShare = (pH: number, pK: number): number => 1 / (1 + 10 ** (pK - pH));

/**
 * Share of total ammonia that is un-ionised NH3, 0…1, by [CW95] unless another formulation is asked for.
 * Two significant digits are honest: a pH error of 0.1 changes it by a quarter.
 * Check: NBS 8.2, S 35, 25 °C → 0.0616.
 */
export const freeAmmoniaFraction = (
  { pH, pHScale, salinity, temperatureC }: AmmoniaWater,
  formulation: AmmoniaFormulation = 'CW95',
): number => freeAmmoniaShare(pH, pKAmmonium(salinity, temperatureC, pHScale, formulation));

/** One formulation's answer. */
export type FormulationAnswer = { formulation: AmmoniaFormulation; title: string; fraction: number };

/**
 * What the formulations say of one water, and how far they lie apart.
 * `relativeError` is the standard error we attach to the choice of formulation: 3 % on the total, seawater and free
 * scales (their spread over S 20–40, 15–30 °C); for an NBS reading the junction of the electrode (0.04 pH) is the
 * larger part and is included.
 */
export type AmmoniaSpread = {
  recommended: number;
  lowest: FormulationAnswer;
  highest: FormulationAnswer;
  answers: FormulationAnswer[];
  relativeError: number;
};

/** Relative standard error of NH3 from the choice of formulation, S 20–40, 15–30 °C. */
export const FORMULATION_RELATIVE_ERROR = 0.03;

/** Standard error, in pH, of moving an NBS reading to a concentration scale: the electrode's own junction. */
export const NBS_JUNCTION_ERROR = 0.04;

/** Formulations side by side for one water. The fresh-water one joins only below S = 1, where it means something. */
export function ammoniaSpread(water: AmmoniaWater): AmmoniaSpread {
  const answers = Object.values(ammoniaFormulations)
    .filter(({ code }) => code !== 'EM75' || water.salinity < 1)
    .map(({ code, title }) => ({
      formulation: code,
      title,
      fraction: freeAmmoniaFraction(water, code),
    }));
  const sorted = [...answers].sort((a, b) => a.fraction - b.fraction);
  const recommended = freeAmmoniaFraction(water);
  const junction = water.pHScale === 'NBS' ? Math.LN10 * NBS_JUNCTION_ERROR * (1 - recommended) : 0;
  return {
    recommended,
    lowest: sorted[0]!,
    highest: sorted.at(-1)!,
    answers,
    relativeError: Math.hypot(FORMULATION_RELATIVE_ERROR, junction),
  };
}
