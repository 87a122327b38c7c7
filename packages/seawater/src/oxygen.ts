import { density } from './density.ts';
import { waterVapourPressure } from './equilibrium/carbon-dioxide-gas.ts';
import { OXYGEN_MOLAR_MASS } from './molar-masses.ts';

/** Departure of oxygen from an ideal gas, per atm, °C [BK84]. */
const theta = (t: number): number => 0.000975 - 1.426e-5 * t + 6.436e-8 * t * t;

/**
 * Oxygen in equilibrium with water-saturated air at one atmosphere, µmol/kg, Benson & Krause coefficients [GG92];
 * S 0–42, freezing…40 °C. The temperature is used as it is given. Check: S 35, 10 °C → 274.610.
 */
export function oxygenSaturationUmolKg(salinity: number, temperatureC: number, pressureAtm = 1): number {
  const x = Math.log((298.15 - temperatureC) / (273.15 + temperatureC));
  const s = salinity;
  const lnC =
    5.80871 +
    x * (3.20291 + x * (4.17887 + x * (5.10006 + x * (-9.86643e-2 + x * 3.80369)))) +
    s * (-7.01577e-3 + x * (-7.70028e-3 + x * (-1.13864e-2 + x * -9.51519e-3))) -
    2.75915e-7 * s * s;
  return Math.exp(lnC) * oxygenPressureFactor(salinity, temperatureC, pressureAtm);
}

/** Saturation at `pressureAtm` over saturation at one atmosphere [BK84]. Check: S 35, 25 °C, 0.95 → 0.9484. */
export function oxygenPressureFactor(salinity: number, temperatureC: number, pressureAtm: number): number {
  const vapour = waterVapourPressure(salinity, temperatureC);
  const th = theta(temperatureC);
  return ((pressureAtm - vapour) * (1 - th * pressureAtm)) / ((1 - vapour) * (1 - th));
}

/** Oxygen saturation, mg/L; as `oxygenSaturationUmolKg` with EOS-80 density. Check: S 35, 25 °C → 6.772. */
export const oxygenSaturationMgL = (salinity: number, temperatureC: number, pressureAtm = 1): number =>
  oxygenSaturationUmolKg(salinity, temperatureC, pressureAtm) *
  density(salinity, temperatureC) *
  OXYGEN_MOLAR_MASS *
  1e-6;
