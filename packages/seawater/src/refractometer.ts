import { root } from './numerics/root.ts';
import { refractiveIndexQuanFry1995 } from './refractive-index.ts';

/** Temperature, °C, for which the marks of a refractometer are placed. */
const MARKED_AT_C = 20;

/** What the marks of a refractometer were placed for: seawater, or sodium chloride ("brine") in g/kg. */
export type RefractometerScale = 'seawater' | 'brine';

/**
 * g of NaCl per kg with the refractive index of seawater, per unit of salinity: 36.5/35 at S = 35 [CRC57], taken
 * as a straight line through zero.
 */
export const BRINE_GAIN = 36.5 / 35;

/** Reading per unit of salinity. */
export const refractometerGain = (scale: RefractometerScale): number => (scale === 'brine' ? BRINE_GAIN : 1);

/** A refractometer: its scale and what its last zero or standard left it showing beside the truth. */
export type Refractometer = { scale: RefractometerScale; offset: number };

/**
 * A refractometer after it was made to show `shown` in a fluid whose seawater-equivalent salinity is `fluid`:
 * pure water set to 0 is (0, 0); a true S = 35 standard set to 35 is (35, 35).
 */
export const setRefractometer = (scale: RefractometerScale, fluid: number, shown: number): Refractometer => ({
  scale,
  offset: shown - refractometerGain(scale) * fluid,
});

/** What it shows in seawater of this salinity. Check: brine, zeroed with pure water, S 35 → 36.5. */
export const refractometerReading = (salinity: number, { scale, offset }: Refractometer): number =>
  refractometerGain(scale) * salinity + offset;

/** Practical salinity behind a reading. Check: brine, zeroed with pure water, reads 35 → 33.56. */
export const salinityFromRefractometer = (reading: number, { scale, offset }: Refractometer): number =>
  (reading - offset) / refractometerGain(scale);

/** g of NaCl per kg with the refractive index of this seawater at 20 °C. Check: 35 → 36.5. */
export const sodiumChlorideEquivalent = (salinity: number): number => BRINE_GAIN * salinity;

/**
 * Salinity that an instrument without temperature compensation takes seawater of t °C for: the one with the same
 * refractive index at 20 °C [QF95]. Check: S 35, 21 °C → about 34.4.
 */
export function uncompensatedRefractometerSalinity(salinity: number, temperatureC: number): number {
  const n = refractiveIndexQuanFry1995(salinity, temperatureC);
  return root((s) => refractiveIndexQuanFry1995(s, MARKED_AT_C) - n, -40, 100);
}
