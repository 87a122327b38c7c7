import { kelvin } from '../temperature.ts';
import { ionicStrength, waterFraction } from './totals.ts';

/** Dissociation constant of HF, mol/kg-sw, free scale, natural logarithm [DR79]. Check: S 33, 26 °C → −6.1014. */
export const lnKFluorideDicksonRiley1979 = (salinity: number, temperatureC: number): number =>
  1590.2 / kelvin(temperatureC) -
  12.641 +
  1.525 * Math.sqrt(ionicStrength(salinity)) +
  Math.log(waterFraction(salinity));

/**
 * Dissociation constant of HF, natural logarithm [PF87], the choice of the 2007 handbook; S 10–40, 9–33 °C.
 * Check: S 35, 25 °C → −6.09.
 */
export const lnKFluoridePerezFraga1987 = (salinity: number, temperatureC: number): number =>
  874 / kelvin(temperatureC) - 9.68 + 0.111 * Math.sqrt(salinity);
