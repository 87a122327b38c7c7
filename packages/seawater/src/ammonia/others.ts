import { kelvin } from '../temperature.ts';

/**
 * pK of the ammonium ion, seawater scale, mol/kg-sw [YM95, M95]; S 0–45, 0–45 °C. Check: S 35, 25 °C → 9.2562.
 */
export function pKAmmoniumYaoMillero1995(salinity: number, temperatureC: number): number {
  const t = kelvin(temperatureC);
  const s = salinity;
  const lnK =
    -6285.33 / t +
    0.0001635 * t -
    0.25444 +
    (0.46532 - 123.7184 / t) * Math.sqrt(s) +
    (-0.01992 + 3.17556 / t) * s;
  return -lnK / Math.LN10;
}

/**
 * pK of the ammonium ion [JW80]; S 5–40, 5–25 °C. The numbers fit the total scale (our inference).
 * Check: S 35, 25 °C → 9.259.
 */
export const pKAmmoniumJohanssonWedborg1980 = (salinity: number, temperatureC: number): number =>
  -0.467 + 0.00113 * salinity + 2887.9 / kelvin(temperatureC);

/**
 * pK of the ammonium ion: the data of [KCB77] as refitted by [BELL07]. The numbers fit the free scale (our
 * inference). The expression printed in [KCB77] itself is in error and is not offered. Check: S 35, 25 °C → 9.361.
 */
export const pKAmmoniumBell2008 = (salinity: number, temperatureC: number): number =>
  10.0423 - 0.0315536 * temperatureC + 0.003071 * salinity;

/** Ionic strength, mol/kg-H2O, as the two regulators' formulas write it. */
const regulatoryIonicStrength = (salinity: number): number =>
  (19.9273 * salinity) / (1000 - 1.005109 * salinity);

/**
 * pK of a state water-quality regulation, applied to NBS readings [WAC173]; equals the free-scale value of [CW95]
 * within 0.004. Check: S 35, 25 °C → 9.353.
 */
export const pKAmmoniumStateRegulation = (salinity: number, temperatureC: number): number =>
  0.09018 +
  2729.92 / kelvin(temperatureC) +
  (0.1552 - 0.0003142 * temperatureC) * regulatoryIonicStrength(salinity);

/**
 * pK of the 1989 saltwater criteria, applied to NBS readings [EPA89]; ionic strength below 0.85, and the absolute
 * temperature is t + 273. Check: S 35, 25 °C → 9.329.
 */
export function pKAmmoniumEpa1989(salinity: number, temperatureC: number): number {
  const t = temperatureC + 273;
  return 9.245 + 0.116 * regulatoryIonicStrength(salinity) + 0.0324 * (298 - t) + 0.0415 / t;
}

/**
 * pK in fresh water [EM75]; 0–50 °C. 2729.92, not the misprint 2727.92 that circulates. Check: 25 °C → 9.2464.
 */
export const pKAmmoniumEmerson1975 = (temperatureC: number): number =>
  0.09018 + 2729.92 / kelvin(temperatureC);
