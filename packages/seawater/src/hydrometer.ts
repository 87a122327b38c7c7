import { density, salinityFromDensity, waterDensity } from './density.ts';
import type { ReferencePair } from './specific-gravity.ts';

/** Cubic expansion of hydrometer glass, per °C [ISO1768]. */
export const GLASS_EXPANSION = 25e-6;

/** Cubic expansion of plastic floats, per °C: the order of size only; materials differ. */
export const PLASTIC_EXPANSION = 2e-4;

/** A float whose marks were placed at `calibratedAtC` for a scale of specific gravity. */
export type Hydrometer = {
  scale: ReferencePair;
  calibratedAtC: number;
  /** Cubic expansion of its body, per °C. */
  expansionPerC: number;
};

/** A glass hydrometer that was marked at the sample temperature of its own scale. */
export const glassHydrometer = (scale: ReferencePair): Hydrometer => ({
  scale,
  calibratedAtC: scale.sampleC,
  expansionPerC: GLASS_EXPANSION,
});

/**
 * Practical salinity from a hydrometer's reading in water of t °C: the mark stands for the density
 * R·ρ_w(t_w)/(1 + γ(t − t_c)) [ISO1768, MP81]. Read at the level surface, not at the top of the meniscus.
 * Check (worked): 60/60 °F glass, 1.0245 at 26 °C → 35.25; without the glass term 35.61.
 */
export const salinityFromHydrometer = (
  reading: number,
  temperatureC: number,
  { scale, calibratedAtC, expansionPerC }: Hydrometer,
): number =>
  salinityFromDensity(
    (reading * waterDensity(scale.waterC)) / (1 + expansionPerC * (temperatureC - calibratedAtC)),
    temperatureC,
  );

/** What a hydrometer shows in water of this salinity and temperature; the inverse of `salinityFromHydrometer`. */
export const hydrometerReading = (
  salinity: number,
  temperatureC: number,
  { scale, calibratedAtC, expansionPerC }: Hydrometer,
): number =>
  (density(salinity, temperatureC) * (1 + expansionPerC * (temperatureC - calibratedAtC))) /
  waterDensity(scale.waterC);
