import { exp, log, power10 } from '../numbers/elementary.ts';

/** How temperature, pH and oxygen scale every oxidation rate; each is 1 at 25 °C, pH 8.1 and 6.7 mg/L of oxygen. */

const normalPH = 8.1;
const normalOxygenMgL = 6.7;

export interface LimiterConstants {
  /** Rate factor per °C (lognormal 1.07, 1.04–1.10). */
  readonly theta: number;
  /** °C above which the rate stops rising and falls to nothing at 38. */
  readonly optimumC: number;
  readonly lowPK: number;
  readonly highPK: number;
}

export const medianLimiters: LimiterConstants = { theta: 1.07, optimumC: 30, lowPK: 6.7, highPK: 9.5 };

/**
 * Temperature factor, θ^(T−25) up to the optimum, then a straight fall to zero at 38 °C.
 * Check: 25 → 1; 20 → 0.713; 38 → 0.
 */
export function temperatureFactor(
  temperatureC: number,
  constants: LimiterConstants = medianLimiters,
): number {
  const { theta, optimumC } = constants;
  const rise = exp(log(theta) * (Math.min(temperatureC, optimumC) - 25));
  return temperatureC <= optimumC ? rise : rise * Math.max(0, (38 - temperatureC) / (38 - optimumC));
}

const bell = (pH: number, lowPK: number, highPK: number): number =>
  1 / (1 + power10(lowPK - pH) + power10(pH - highPK));

/** pH factor (a bell between two limbs), 1 at pH 8.1. Check: 8.1 → 1; 6.7 → 0.53. */
export function pHFactor(pH: number, constants: LimiterConstants = medianLimiters): number {
  const { lowPK, highPK } = constants;
  return bell(pH, lowPK, highPK) / bell(normalPH, lowPK, highPK);
}

/** Oxygen factor, Monod with half-saturation in mg/L, 1 at 6.7 mg/L. Check: (6.7, 0.35) → 1. */
export const oxygenFactor = (oxygenMgL: number, halfMgL: number): number =>
  (oxygenMgL / (halfMgL + oxygenMgL)) * ((halfMgL + normalOxygenMgL) / normalOxygenMgL);

/** Half-saturations for oxygen, mg/L: ammonia and nitrite oxidation (medians of the priors). */
export const oxygenHalf = { ammonia: 0.35, nitrite: 0.55 } as const;

/** Factor on break-up and ammonification of food, θ_d = 1.09 (Q10 near 2.4). Check: 25 → 1. */
export const decayFactor = (temperatureC: number): number => exp(log(1.09) * (temperatureC - 25));
