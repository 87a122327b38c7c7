import type { Equilibria } from './constants.ts';

/** Dissolved species besides carbonate that a keeper may know, mol/kg-sw. */
export type OtherSpecies = { totalAmmonia: number; totalPhosphate: number };

/**
 * Alkalinity of everything but carbonate, mol/kg-sw, by the definition of [D81], at total-scale hydrogen ion `h`.
 */
export function otherAlkalinity(h: number, k: Equilibria, other: OtherSpecies): number {
  const free = h / k.freeToTotal;
  const { kP1, kP2, kP3 } = k;
  const phosphate =
    other.totalPhosphate === 0
      ? 0
      : (other.totalPhosphate * (kP1 * kP2 * h + 2 * kP1 * kP2 * kP3 - h ** 3)) /
        (h ** 3 + kP1 * h * h + kP1 * kP2 * h + kP1 * kP2 * kP3);
  return (
    borateIon(h, k) +
    k.kWater / h +
    (other.totalAmmonia * k.kAmmonium) / (k.kAmmonium + h) +
    phosphate -
    free -
    k.sulfate / (1 + k.kSulfate / free) -
    k.fluoride / (1 + k.kFluoride / free)
  );
}

/** Borate ion, mol/kg-sw. */
export const borateIon = (h: number, k: Equilibria): number => (k.boron * k.kBoric) / (k.kBoric + h);

/** Alkalinity of the carbonate species, mol/kg-sw, above an amount of dissolved CO2 gas. */
export const carbonateFromCO2 = (co2: number, h: number, k: Equilibria): number =>
  co2 * (k.k1 / h + (2 * k.k1 * k.k2) / (h * h));

/** Alkalinity of the carbonate species, mol/kg-sw, in a total of inorganic carbon. */
export const carbonateFromDIC = (dic: number, h: number, k: Equilibria): number =>
  (dic * (k.k1 * h + 2 * k.k1 * k.k2)) / (h * h + k.k1 * h + k.k1 * k.k2);
