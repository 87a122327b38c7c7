/**
 * Reference-Composition Salinity, g of salt per kg of seawater, from practical salinity: S·35.16504/35 [MFWM08].
 * Check: 35 → 35.16504.
 */
export const saltPerKilogram = (salinity: number): number => (salinity * 35.16504) / 35;

/** Practical salinity from g of salt per kg of seawater [MFWM08]. Check: 35.16504 → 35. */
export const salinityFromSaltPerKilogram = (gramsPerKg: number): number => (gramsPerKg * 35) / 35.16504;
