import { kelvin } from '../temperature.ts';

/** Gas constant in the units of [W74], cm³ bar/(mol K). */
const R = 83.1451;

/** Solubility of CO2, mol/(kg-sw atm), natural logarithm [W74]; S 0–45, −1…45 °C. Check: S 35, 25 °C → −3.5617. */
export function lnKCarbonDioxideWeiss1974(salinity: number, temperatureC: number): number {
  const t = kelvin(temperatureC) / 100;
  return (
    -60.2409 + 93.4517 / t + 23.3585 * Math.log(t) + salinity * (0.023517 - 0.023656 * t + 0.0047036 * t * t)
  );
}

/** Vapour pressure of seawater, atm [WP80]. Check: S 35, 25 °C → 0.03066. */
export function waterVapourPressure(salinity: number, temperatureC: number): number {
  const t = kelvin(temperatureC) / 100;
  return Math.exp(24.4543 - 67.4509 / t - 4.8489 * Math.log(t) - 0.000544 * salinity);
}

/** Ratio of the fugacity of CO2 in air at one atmosphere to its partial pressure [W74]. Check: 25 °C → 0.99681. */
export function carbonDioxideFugacityFactor(temperatureC: number): number {
  const t = kelvin(temperatureC);
  const b = -1636.75 + 12.0408 * t - 0.0327957 * t * t + 3.16528e-5 * t ** 3;
  const delta = 57.7 - 0.118 * t;
  return Math.exp(((b + 2 * delta) * 1.01325) / (R * t));
}

/**
 * Partial pressure of CO2, µatm, at the water's face, from its share of dry air in ppm: xCO2·(P − p_H2O).
 * `pressureAtm` is the barometer's, 1 by default.
 */
export const carbonDioxidePressure = (
  dryAirPpm: number,
  salinity: number,
  temperatureC: number,
  pressureAtm = 1,
): number => dryAirPpm * (pressureAtm - waterVapourPressure(salinity, temperatureC));
