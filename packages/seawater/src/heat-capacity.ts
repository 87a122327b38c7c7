import { t68FromT90 } from './temperature.ts';

/**
 * Heat capacity at one atmosphere, J/(kg K), t in °C on IPTS-68 [MPD73, as in FM83]; S 0–40, 0–35 °C, s.d. 0.5.
 * Check: S 40, 40 °C → 3980.051.
 */
export function heatCapacityT68(salinity: number, t68: number): number {
  const t = t68;
  const fresh = 4217.4 + t * (-3.720283 + t * (0.1412855 + t * (-2.654387e-3 + t * 2.093236e-5)));
  const a = -7.643575 + t * (0.1072763 - t * 1.38385e-3);
  const b = 0.1770383 + t * (-4.07718e-3 + t * 5.148e-5);
  return fresh + a * salinity + b * salinity ** 1.5;
}

/** Heat capacity at one atmosphere, J/(kg K), t in °C (ITS-90) [MPD73]. Check: S 35, 25 °C → 3996. */
export const heatCapacity = (salinity: number, temperatureC: number): number =>
  heatCapacityT68(salinity, t68FromT90(temperatureC));
