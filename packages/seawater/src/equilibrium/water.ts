import { kelvin } from '../temperature.ts';

/** Ion product of water, seawater scale, (mol/kg-sw)², natural logarithm [M95]. Check: S 33, 26 °C → −30.3667. */
export function lnKWaterMillero1995(salinity: number, temperatureC: number): number {
  const t = kelvin(temperatureC);
  const lnT = Math.log(t);
  return (
    148.9802 -
    13847.26 / t -
    23.6521 * lnT +
    (118.67 / t - 5.977 + 1.0495 * lnT) * Math.sqrt(salinity) -
    0.01615 * salinity
  );
}

/**
 * Ion product of water as the 2007 handbook prints it for the total scale: the value of [M95] less a flat 0.015
 * instead of the exact change of scale [DSC07]. Check: S 35, 25 °C → −30.434.
 */
export const lnKWaterHandbook2007 = (salinity: number, temperatureC: number): number =>
  lnKWaterMillero1995(salinity, temperatureC) - 0.015;
