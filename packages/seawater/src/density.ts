import { root } from './numerics/root.ts';
import { t68FromT90 } from './temperature.ts';

/**
 * Density of pure water at one atmosphere, kg/m³, from °C on IPTS-68 [BIGG67, as in FM83].
 * Check: 25 → 997.04796.
 */
export function waterDensityT68(t68: number): number {
  const t = t68;
  return (
    999.842594 +
    t * (6.793952e-2 + t * (-9.09529e-3 + t * (1.001685e-4 + t * (-1.120083e-6 + t * 6.536332e-9))))
  );
}

/**
 * Density of seawater at one atmosphere, kg/m³, by EOS-80 [MP81] from practical salinity and °C on IPTS-68.
 * Valid S 0–42, −2…40 °C; stated precision 0.0036 kg/m³. Check: S 35, 25 °C → 1023.34306.
 */
export function densityT68(salinity: number, t68: number): number {
  const t = t68;
  const a = 8.24493e-1 + t * (-4.0899e-3 + t * (7.6438e-5 + t * (-8.2467e-7 + t * 5.3875e-9)));
  const b = -5.72466e-3 + t * (1.0227e-4 - t * 1.6546e-6);
  return waterDensityT68(t) + salinity * (a + b * Math.sqrt(salinity) + 4.8314e-4 * salinity);
}

/** Density of seawater at one atmosphere, kg/m³, EOS-80 [MP81], from °C (ITS-90). Check: S 33, 26 °C → 1021.5252. */
export const density = (salinity: number, temperatureC: number): number =>
  densityT68(salinity, t68FromT90(temperatureC));

/** Density of pure water at one atmosphere, kg/m³ [BIGG67], from °C (ITS-90). */
export const waterDensity = (temperatureC: number): number => waterDensityT68(t68FromT90(temperatureC));

/**
 * Practical salinity whose EOS-80 density at `t68` (°C, IPTS-68) is `rho` (kg/m³), looked for between 0 and 60.
 * NaN when no salinity in that span has this density. Check: 1024.7630, 20 °C → 35.000.
 */
export const salinityFromDensityT68 = (rho: number, t68: number): number =>
  root((s) => densityT68(s, t68) - rho, 0, 60);

/** Practical salinity from density, kg/m³, and °C (ITS-90); NaN outside 0–60. */
export const salinityFromDensity = (rho: number, temperatureC: number): number =>
  salinityFromDensityT68(rho, t68FromT90(temperatureC));
