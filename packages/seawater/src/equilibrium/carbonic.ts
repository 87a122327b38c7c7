import { kelvin } from '../temperature.ts';

/** pK of carbonic acid's two steps. */
export type CarbonicPK = { pK1: number; pK2: number };

/**
 * Carbonic acid, total scale, mol/kg-sw [L00]; S 19–43, 2–35 °C.
 * Check: S 35, 25 °C → pK1 5.8472, pK2 8.9660.
 */
export function pKCarbonicLueker2000(salinity: number, temperatureC: number): CarbonicPK {
  const t = kelvin(temperatureC);
  const lnT = Math.log(t);
  const s = salinity;
  return {
    pK1: 3633.86 / t - 61.2172 + 9.6777 * lnT - 0.011555 * s + 0.0001152 * s * s,
    pK2: 471.78 / t + 25.929 - 3.16967 * lnT - 0.01781 * s + 0.0001122 * s * s,
  };
}

/**
 * Carbonic acid, seawater scale, mol/kg-sw [M10]; S 1–50, 0–50 °C: for water below the range of [L00].
 * Check: S 5, 25 °C → pK1 6.0784, pK2 9.5012.
 */
export function pKCarbonicMillero2010(salinity: number, temperatureC: number): CarbonicPK {
  const t = kelvin(temperatureC);
  const lnT = Math.log(t);
  const s = salinity;
  const rootS = Math.sqrt(s);
  const fresh1 = -126.34048 + 6320.813 / t + 19.568224 * lnT;
  const fresh2 = -90.18333 + 5143.692 / t + 14.613358 * lnT;
  return {
    pK1:
      fresh1 +
      (13.4038 * rootS + 0.03206 * s - 5.242e-5 * s * s) +
      (-530.659 * rootS - 5.821 * s) / t -
      2.0664 * rootS * lnT,
    pK2:
      fresh2 +
      (21.3728 * rootS + 0.1218 * s - 3.688e-4 * s * s) +
      (-788.289 * rootS - 19.189 * s) / t -
      3.374 * rootS * lnT,
  };
}
