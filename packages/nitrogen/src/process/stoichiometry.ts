/** Atomic mass of nitrogen, g/mol (IUPAC 2021 conventional value). */
export const nitrogenMolarMass = 14.007;

/** Share of oxidised ammonia nitrogen that reaches nitrite; the rest becomes cells (Ebeling et al. 2006, rounded). */
export const passedOnToNitrite = 0.98;

/** Share of oxidised nitrite nitrogen that reaches nitrate. */
export const passedOnToNitrate = 0.99;

/**
 * Alkalinity used by oxidising ammonia to nitrite, meq per mg N: two equivalents a mole.
 * Check: 2 / 14.007 = 0.14279 meq per mg N, 7.14 g CaCO3 per g N.
 */
export const alkalinityPerAmmoniaN = 2 / nitrogenMolarMass;

/** Alkalinity gained when organic nitrogen becomes ammonia, meq per mg N: one equivalent a mole. Check: 0.0714. */
export const alkalinityPerMineralisedN = 1 / nitrogenMolarMass;
