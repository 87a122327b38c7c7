import { root } from './numerics/root.ts';
import { t68FromT90 } from './temperature.ts';

/** Conductivity of S = 35 at 15 °C (IPTS-68) and one atmosphere, mS/cm [CS80]. */
export const STANDARD_CONDUCTIVITY = 42.914;

const a = [0.008, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081] as const;
const b = [0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144] as const;
const k = 0.0162;

/** A polynomial with coefficients in rising order. */
const polynomial = (coefficients: readonly number[], x: number): number =>
  coefficients.reduceRight((sum, c) => sum * x + c, 0);

/** Temperature term of the scale, (t−15)/(1 + k(t−15)), t on IPTS-68. */
const temperatureTerm = (t68: number): number => (t68 - 15) / (1 + k * (t68 - 15));

/** Conductivity of S = 35 at t over that at 15 °C, one atmosphere; t on IPTS-68 [PL80]. Check: 0 °C → 0.676610. */
export const conductivityTemperatureRatio = (t68: number): number =>
  polynomial([0.6766097, 2.00564e-2, 1.104259e-4, -6.9698e-7, 1.0031e-9], t68);

/** The three pressure terms of [PL80]: R_p = 1 + numerator/(base + slope·R). Pressure in dbar above the surface. */
function pressureTerms(t68: number, dbar: number): { numerator: number; base: number; slope: number } {
  return {
    numerator: dbar * (2.07e-5 + dbar * (-6.37e-10 + dbar * 3.989e-15)),
    base: 1 + 3.426e-2 * t68 + 4.464e-4 * t68 * t68,
    slope: 4.215e-1 - 3.107e-3 * t68,
  };
}

/** Practical salinity of a ratio R_t at t (IPTS-68), PSS-78 alone, without the extension below 2 [PL80]. */
function salinityOfRatio(rootRt: number, t68: number): number {
  return polynomial(a, rootRt) + temperatureTerm(t68) * polynomial(b, rootRt);
}

/**
 * What [HDW86] subtracts from the PSS-78 value below S = 2 so that it tends to zero in fresh water; the ratio R_t
 * at t (IPTS-68). Check: 2 mS/cm, 25 °C → S 1.0167 after subtraction.
 */
export function lowSalinityCorrection(rt: number, t68: number): number {
  const x = 400 * rt;
  const y = 100 * rt;
  return 0.008 / (1 + 1.5 * x + x * x) + (0.0005 * temperatureTerm(t68)) / (1 + Math.sqrt(y) + y + y ** 1.5);
}

/** Practical salinity of √R_t with the extension below 2. */
function extendedSalinity(rootRt: number, t68: number): number {
  const salinity = salinityOfRatio(rootRt, t68);
  return salinity < 2 ? salinity - lowSalinityCorrection(rootRt * rootRt, t68) : salinity;
}

/**
 * Practical salinity (PSS-78) from the conductivity ratio R = C/C(35, 15, 0), t in °C on IPTS-68 and pressure in
 * dbar [PL80, FM83]; S 2–42, −2…35 °C; below 2 by [HDW86]. Check: 1.2, 20 °C, 2000 dbar → 37.245628.
 */
export function salinityFromRatioT68(ratio: number, t68: number, dbar = 0): number {
  const { numerator, base, slope } = pressureTerms(t68, dbar);
  const pressureRatio = 1 + numerator / (base + slope * ratio);
  const rt = ratio / (conductivityTemperatureRatio(t68) * pressureRatio);
  return extendedSalinity(Math.sqrt(rt), t68);
}

/**
 * Conductivity ratio R = C/C(35, 15, 0) of a practical salinity, t on IPTS-68, pressure in dbar: the inverse of
 * `salinityFromRatioT68`, by bracketed root and, with pressure, a quadratic. Check: 35, 20 °C → 1.116493.
 */
export function ratioFromSalinityT68(salinity: number, t68: number, dbar = 0): number {
  if (salinity === 0) return 0;
  const rootRt = root((x) => extendedSalinity(x, t68) - salinity, 0, 1.6);
  const surface = conductivityTemperatureRatio(t68) * rootRt * rootRt;
  const { numerator, base, slope } = pressureTerms(t68, dbar);
  const half = (base - slope * surface) / (2 * slope);
  return -half + Math.sqrt(half * half + (surface * (base + numerator)) / slope);
}

/** Practical salinity from conductivity in mS/cm at t °C (ITS-90). Check: 53.0, 25 °C → 34.94730. */
export const salinityFromConductivity = (mSCm: number, temperatureC: number, dbar = 0): number =>
  salinityFromRatioT68(mSCm / STANDARD_CONDUCTIVITY, t68FromT90(temperatureC), dbar);

/** Conductivity, mS/cm, of a practical salinity at t °C (ITS-90). Check: 35, 25 °C → 53.0710. */
export const conductivityFromSalinity = (salinity: number, temperatureC: number, dbar = 0): number =>
  STANDARD_CONDUCTIVITY * ratioFromSalinityT68(salinity, t68FromT90(temperatureC), dbar);
