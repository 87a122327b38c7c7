import { density } from './density.ts';
import { molarMass } from './formula.ts';
import { heatCapacity } from './heat-capacity.ts';
import { saltPerKilogram } from './reference-salinity.ts';

/** An amount of water by mass. */
export type Parcel = { kg: number; salinity: number; temperatureC: number };

/** Mass of water, kg, in a volume. Check: 100 L, S 35, 25 °C → 102.334. */
export const waterMass = (litres: number, salinity: number, temperatureC: number): number =>
  (litres * density(salinity, temperatureC)) / 1000;

/** Volume, L, of a mass of water. */
export const waterLitres = (kg: number, salinity: number, temperatureC: number): number =>
  (1000 * kg) / density(salinity, temperatureC);

/** A property that mixes by mass (salinity, or anything per kg), over any number of parcels. */
export const mixByMass = (parcels: readonly { kg: number; value: number }[]): number =>
  parcels.reduce((sum, { kg, value }) => sum + kg * value, 0) / parcels.reduce((sum, { kg }) => sum + kg, 0);

/** Practical salinity of parcels mixed. Check: 100 L at 35, 25 °C with 20 L at 33, 24 °C → 34.667. */
export const mixedSalinity = (parcels: readonly Parcel[]): number =>
  mixByMass(parcels.map(({ kg, salinity }) => ({ kg, value: salinity })));

/**
 * Temperature, °C, of parcels mixed, weighed by heat capacity [MPD73]; nothing is lost to glass, rock or air.
 * Check: the same two → 24.83.
 */
export const mixedTemperature = (parcels: readonly Parcel[]): number =>
  mixByMass(
    parcels.map(({ kg, salinity, temperatureC }) => ({
      kg: kg * heatCapacity(salinity, temperatureC),
      value: temperatureC,
    })),
  );

/**
 * g of salt product for V litres of finished water: h·A·ρ·V/1000, with h g of product per g of anhydrous sea salt.
 * Check: 1 L, S 35, 25 °C, h 1 → 35.99.
 */
export const saltForVolume = (
  litres: number,
  salinity: number,
  temperatureC: number,
  hydration = 1,
): number => hydration * saltPerKilogram(salinity) * waterMass(litres, salinity, temperatureC);

/** g of salt product into `kg` of fresh water: 1000·W·h·A/(1000 − h·A). */
export function saltForWater(kg: number, salinity: number, hydration = 1): number {
  const product = hydration * saltPerKilogram(salinity);
  return (1000 * kg * product) / (1000 - product);
}

/**
 * g of salt product that raises `kg` of water from one salinity to another: 1000·m(A2 − A1)/(1000/h − A2).
 * Check: 100 L at S 33, 25 °C to 35, h 1 → 212.8.
 */
export const saltToRaise = (kg: number, from: number, to: number, hydration = 1): number =>
  (1000 * kg * (saltPerKilogram(to) - saltPerKilogram(from))) / (1000 / hydration - saltPerKilogram(to));

/** kg of water whose salinity a known mass of salt product raised: `saltToRaise` solved for the mass. */
export const massFromSaltRise = (grams: number, from: number, to: number, hydration = 1): number =>
  (grams * (1000 / hydration - saltPerKilogram(to))) / (1000 * (saltPerKilogram(to) - saltPerKilogram(from)));

/**
 * kg of fresh water that lowers `kg` of water from one salinity to another, or makes good what evaporated:
 * m(S1/S2 − 1). Check: 200 L at S 36, 26 °C to 35 → 5.850.
 */
export const freshWaterToLower = (kg: number, from: number, to: number): number => kg * (from / to - 1);

/** Hydration factor h of a salt mix from one batch: M g of product in W kg of fresh water gave S. */
export const hydrationFromBatch = (productGrams: number, waterKg: number, salinity: number): number =>
  (1000 * productGrams) / (saltPerKilogram(salinity) * (1000 * waterKg + productGrams));

/** Hydration factor to assume before a batch is measured; mixes lie between 1.00 and 1.18. Our judgement. */
export const hydrationPrior = { value: 1.08, sd: 0.05 } as const;

/**
 * Formula of artificial seawater, S 35 [KDCP67]: g/kg of the anhydrous salts, then mol/kg of those weighed as
 * hydrates.
 */
export const kesterRecipe = {
  gramsPerKg: {
    NaCl: 23.926,
    Na2SO4: 4.008,
    KCl: 0.677,
    NaHCO3: 0.196,
    KBr: 0.098,
    H3BO3: 0.026,
    NaF: 0.003,
  },
  molPerKg: [
    { anhydrous: 'MgCl2', hydrate: 'MgCl2(H2O)6', mol: 0.05327 },
    { anhydrous: 'CaCl2', hydrate: 'CaCl2(H2O)2', mol: 0.01033 },
    { anhydrous: 'SrCl2', hydrate: 'SrCl2(H2O)6', mol: 0.00009 },
  ],
} as const;

/** Hydration factor of that recipe with its three hydrates. Check: 1.1746. */
export function kesterHydration(): number {
  const dry = Object.values(kesterRecipe.gramsPerKg).reduce((sum, g) => sum + g, 0);
  const weighed = (as: 'anhydrous' | 'hydrate'): number =>
    kesterRecipe.molPerKg.reduce((sum, salt) => sum + salt.mol * molarMass(salt[as]), 0);
  return (dry + weighed('hydrate')) / (dry + weighed('anhydrous'));
}
