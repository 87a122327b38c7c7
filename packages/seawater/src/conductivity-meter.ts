/** Temperature, °C, to which meters refer a compensated conductivity. */
export const COMPENSATION_REFERENCE_C = 25;

/**
 * Uncompensated conductivity, mS/cm, behind a reading "at 25 °C" of a meter that compensates by a fixed share per
 * degree (0.019–0.021 per °C in most): C = reading·(1 + share·(t − 25)). With the real C and t the salinity follows.
 */
export const uncompensatedConductivity = (
  readingMSCm: number,
  temperatureC: number,
  sharePerDegree: number,
): number => readingMSCm * (1 + sharePerDegree * (temperatureC - COMPENSATION_REFERENCE_C));

/** What such a meter shows "at 25 °C" for a conductivity, mS/cm, at t: the inverse of `uncompensatedConductivity`. */
export const compensatedConductivity = (mSCm: number, temperatureC: number, sharePerDegree: number): number =>
  mSCm / (1 + sharePerDegree * (temperatureC - COMPENSATION_REFERENCE_C));
