import { density } from '../density.ts';
import { carbonDioxidePressure } from '../equilibrium/carbon-dioxide-gas.ts';
import { perKilogram } from '../molar-masses.ts';
import { offsetFromTotal, type PHScale } from '../ph-scales.ts';
import { type CarbonateSystem, type CarbonateWater, carbonateSystem } from './system.ts';

/** CO2 in outdoor air, ppm of dry air, about 2020; rising by 2–3 a year. */
export const OUTDOOR_CO2_PPM = 420;

/** Indoor over outdoor CO2 where no meter says better: a guess; occupied closed rooms run from 1.4 to 5. */
export const DEFAULT_ROOM_FACTOR = 1.7;

/** CO2 of a room, ppm of dry air. */
export const roomCO2Ppm = (roomFactor = DEFAULT_ROOM_FACTOR): number => OUTDOOR_CO2_PPM * roomFactor;

/** Alkalinity, µmol/kg, from meq/L. Check: 2.3537 meq/L, S 35, 25 °C → 2300. */
export const alkalinityUmolKg = (meqL: number, salinity: number, temperatureC: number): number =>
  perKilogram(meqL * 1000, density(salinity, temperatureC));

/** A water's carbonate system once it has come into balance with a room's air. Alkalinity in µmol/kg. */
export const inBalanceWithAir = (
  alkalinity: number,
  co2Ppm: number,
  water: CarbonateWater,
  pressureAtm = 1,
): CarbonateSystem =>
  carbonateSystem(
    { alkalinity, pCO2: carbonDioxidePressure(co2Ppm, water.salinity, water.temperatureC, pressureAtm) },
    water,
  );

/** What decides the pH of a water that stands in a room's air. */
export type AirEquilibrium = {
  alkalinityMeqL: number;
  salinity: number;
  temperatureC: number;
  /** CO2 in the room's dry air, ppm. */
  co2Ppm: number;
  pHScale: PHScale;
};

/**
 * pH of a water in balance with the air of a room, on `pHScale`.
 * Check: 2.3537 meq/L, S 35, 25 °C, 420 ppm, total → 8.037; 1000 ppm → 7.715.
 */
export function airEquilibriumPH(at: AirEquilibrium): number {
  const { salinity, temperatureC } = at;
  const alkalinity = alkalinityUmolKg(at.alkalinityMeqL, salinity, temperatureC);
  const { pH } = inBalanceWithAir(alkalinity, at.co2Ppm, { salinity, temperatureC });
  return pH + offsetFromTotal(at.pHScale, salinity, temperatureC);
}
