import { density, salinityFromDensity, waterDensity } from './density.ts';

/** The two temperatures, °C, without which a specific gravity means nothing. */
export type ReferencePair = {
  /** Temperature of the sample. */
  sampleC: number;
  /** Temperature of the pure water it is compared with. */
  waterC: number;
};

/** 60 °F in °C. */
const SIXTY_FAHRENHEIT = 140 / 9;

/** Reference pairs in use, by the name printed on instruments. "77 °F" is 25/25. */
export const referencePairs = {
  '60/60F': { sampleC: SIXTY_FAHRENHEIT, waterC: SIXTY_FAHRENHEIT },
  '15/4': { sampleC: 15, waterC: 4 },
  '20/20': { sampleC: 20, waterC: 20 },
  '20/4': { sampleC: 20, waterC: 4 },
  '25/25': { sampleC: 25, waterC: 25 },
  '25/4': { sampleC: 25, waterC: 4 },
} as const satisfies Record<string, ReferencePair>;

/** Name of a reference pair. */
export type ReferencePairName = keyof typeof referencePairs;

/** Specific gravity, ρ(S, sample)/ρ_w(water) [MP81]. Check: S 35, 25/25 → 1.02637; 20/4 → 1.02479. */
export const specificGravity = (salinity: number, pair: ReferencePair): number =>
  density(salinity, pair.sampleC) / waterDensity(pair.waterC);

/** Practical salinity from a specific gravity; NaN outside 0–60. Check: 1.0264, 25/25 → 35.03. */
export const salinityFromSpecificGravity = (specificGravity: number, pair: ReferencePair): number =>
  salinityFromDensity(specificGravity * waterDensity(pair.waterC), pair.sampleC);
