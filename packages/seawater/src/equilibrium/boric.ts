import { kelvin } from '../temperature.ts';

/** Boric acid, total scale, mol/kg-sw, natural logarithm [D90b]; S 5–45, 0–45 °C. Check: S 35, 25 °C → −19.7964. */
export function lnKBoricDickson1990(salinity: number, temperatureC: number): number {
  const t = kelvin(temperatureC);
  const s = salinity;
  const rootS = Math.sqrt(s);
  return (
    (-8966.9 - 2890.53 * rootS - 77.942 * s + 1.728 * s ** 1.5 - 0.0996 * s * s) / t +
    148.0248 +
    137.1942 * rootS +
    1.62142 * s +
    (-24.4344 - 25.085 * rootS - 0.2474 * s) * Math.log(t) +
    0.053105 * rootS * t
  );
}
