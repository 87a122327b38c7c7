import { waterFraction } from '../equilibrium/totals.ts';
import { kelvin } from '../temperature.ts';

/**
 * pK of the ammonium ion, total scale, mol/kg-H2O [CW95]; S 0–40, −2…40 °C, authors' error below 5 % in K.
 * Smooth to S 45. Check: S 35, 25 °C → 9.2303.
 */
export function pKAmmoniumMolalCleggWhitfield1995(salinity: number, temperatureC: number): number {
  const t = kelvin(temperatureC);
  const rootT = Math.sqrt(t);
  const s = salinity;
  return (
    9.244605 -
    2729.33 * (1 / 298.15 - 1 / t) +
    (0.04203362 - 11.24742 / t) * s ** 0.25 +
    (-13.6416 + 1.176949 * rootT - 0.02860785 * t + 545.4834 / t) * s ** 0.5 +
    (-0.1462507 + 0.0090226468 * rootT - 0.0001471361 * t + 10.5425 / t) * s ** 1.5 +
    (0.004669309 - 0.0001691742 * rootT - 0.5677934 / t) * s ** 2 +
    (-2.354039e-5 + 0.009698623 / t) * s ** 2.5
  );
}

/**
 * pK of the ammonium ion, total scale, mol/kg-sw: the molal value turned to the kilogram that pH_total counts.
 * Leaving that step out raises NH3 by 3.6 % at S 35. Check: S 35, 25 °C → 9.2458.
 */
export const pKAmmoniumCleggWhitfield1995 = (salinity: number, temperatureC: number): number =>
  pKAmmoniumMolalCleggWhitfield1995(salinity, temperatureC) - Math.log10(waterFraction(salinity));

/**
 * The same authors' direct fit on the free scale, mol/kg-H2O [CW95]: only to reproduce published numbers. One
 * public code has 7.14045e-5 for 7.1047e-5, which moves pK by 0.0004.
 */
export function pKAmmoniumFreeMolalCleggWhitfield1995(salinity: number, temperatureC: number): number {
  const t = kelvin(temperatureC);
  const s = salinity;
  return (
    9.244605 -
    2729.33 * (1 / 298.15 - 1 / t) +
    (0.0500616 - 9.412696 / t - 2.029559e-7 * t * t) * Math.sqrt(s) +
    (-0.0142372 + 1.46041e-5 * t + 3.730005 / t) * s +
    (7.1047e-5 - 0.0229021 / t) * s * s +
    (-5.521278e-7 + 1.95413e-4 / t) * s ** 3
  );
}
