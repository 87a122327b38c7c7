import { kelvin } from '../temperature.ts';

/** log10 of the pure-water solubility product of a mineral, from its constant and its 1/T coefficient [MU83]. */
const freshWater = (t: number, constant: number, overT: number): number =>
  constant - 0.077993 * t + overT / t + 71.595 * Math.log10(t);

/** Solubility product of aragonite, log10 of (mol/kg-sw)² [MU83]; S 5–44, 5–40 °C. Check: S 35, 25 °C → −6.1883. */
export function log10KAragonite(salinity: number, temperatureC: number): number {
  const t = kelvin(temperatureC);
  const s = salinity;
  return (
    freshWater(t, -171.945, 2903.293) +
    (-0.068393 + 0.0017276 * t + 88.135 / t) * Math.sqrt(s) -
    0.10018 * s +
    0.0059415 * s ** 1.5
  );
}

/** Solubility product of calcite, log10 of (mol/kg-sw)² [MU83]; S 5–44, 5–40 °C. Check: S 35, 25 °C → −6.3693. */
export function log10KCalcite(salinity: number, temperatureC: number): number {
  const t = kelvin(temperatureC);
  const s = salinity;
  return (
    freshWater(t, -171.9065, 2839.319) +
    (-0.77712 + 0.0028426 * t + 178.34 / t) * Math.sqrt(s) -
    0.07711 * s +
    0.0041249 * s ** 1.5
  );
}

/**
 * Aragonite saturation state, 1 at equilibrium, from calcium and carbonate in µmol/kg.
 * Check: S 35, 25 °C, 10280 and 213.4 → 3.38.
 */
export const aragoniteSaturation = (
  calcium: number,
  carbonate: number,
  salinity: number,
  temperatureC: number,
): number => (calcium * carbonate * 1e-12) / 10 ** log10KAragonite(salinity, temperatureC);
