import { kelvin } from '../temperature.ts';

/** ln K of phosphoric acid's three steps, mol/kg-sw. */
export type PhosphoricLnK = { lnK1: number; lnK2: number; lnK3: number };

/**
 * Phosphoric acid, seawater scale [YM95]; S 0–45, 0–45 °C.
 * Check: S 33, 26 °C → −3.7157, −13.7243, −20.1640.
 */
export function lnKPhosphoricYaoMillero1995(salinity: number, temperatureC: number): PhosphoricLnK {
  const t = kelvin(temperatureC);
  const lnT = Math.log(t);
  const s = salinity;
  const rootS = Math.sqrt(s);
  return {
    lnK1:
      -4576.752 / t + 115.54 - 18.453 * lnT + (-106.736 / t + 0.69171) * rootS + (-0.65643 / t - 0.01844) * s,
    lnK2:
      -8814.715 / t + 172.1033 - 27.927 * lnT + (-160.34 / t + 1.3566) * rootS + (0.37335 / t - 0.05778) * s,
    lnK3: -3070.75 / t - 18.126 + (17.27039 / t + 2.81197) * rootS + (-44.99486 / t - 0.09984) * s,
  };
}

/** The same as the 2007 handbook prints them for the total scale, 0.015 less each [DSC07]. */
export function lnKPhosphoricHandbook2007(salinity: number, temperatureC: number): PhosphoricLnK {
  const sws = lnKPhosphoricYaoMillero1995(salinity, temperatureC);
  return { lnK1: sws.lnK1 - 0.015, lnK2: sws.lnK2 - 0.015, lnK3: sws.lnK3 - 0.015 };
}
