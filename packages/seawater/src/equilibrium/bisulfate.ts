import { kelvin } from '../temperature.ts';
import { ionicStrength, waterFraction } from './totals.ts';

/**
 * Dissociation constant of HSO4⁻, mol/kg-sw, free scale, natural logarithm [D90a].
 * S 5–45, 0–45 °C. Check: S 33, 26 °C → −2.3702.
 */
export function lnKSulfateDickson1990(salinity: number, temperatureC: number): number {
  const t = kelvin(temperatureC);
  const lnT = Math.log(t);
  const i = ionicStrength(salinity);
  return (
    -4276.1 / t +
    141.328 -
    23.093 * lnT +
    (-13856 / t + 324.57 - 47.986 * lnT) * Math.sqrt(i) +
    (35474 / t - 771.54 + 114.723 * lnT) * i -
    (2698 / t) * i ** 1.5 +
    (1776 / t) * i * i +
    Math.log(waterFraction(salinity))
  );
}
