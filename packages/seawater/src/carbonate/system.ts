import { waterVapourPressure } from '../equilibrium/carbon-dioxide-gas.ts';
import { root } from '../numerics/root.ts';
import {
  borateIon,
  carbonateFromCO2,
  carbonateFromDIC,
  type OtherSpecies,
  otherAlkalinity,
} from './alkalinity.ts';
import { type ConstantSet, type Equilibria, equilibria } from './constants.ts';

/** The two quantities that fix the carbonate system; µmol/kg of seawater, µatm, pH on the total scale. */
export type CarbonatePair =
  | { alkalinity: number; dic: number }
  | { alkalinity: number; pCO2: number }
  | { alkalinity: number; pH: number }
  | { dic: number; pH: number }
  | { dic: number; pCO2: number }
  | { pH: number; pCO2: number };

/** Where and in what the carbonate lies. */
export type CarbonateWater = {
  salinity: number;
  temperatureC: number;
  /** Total ammonia, µmol/kg; counts in alkalinity. */
  totalAmmonia?: number;
  /** Total phosphate, µmol/kg; counts in alkalinity. */
  totalPhosphate?: number;
  /** Total boron over that of natural seawater of this salinity; salt mixes carry 0.5 to 2. */
  boronFactor?: number;
  constants?: Partial<ConstantSet>;
};

/** The whole carbonate system of one water; µmol/kg of seawater, µatm, pH on the total scale. */
export type CarbonateSystem = {
  pH: number;
  alkalinity: number;
  dic: number;
  pCO2: number;
  fCO2: number;
  /** CO2 in dry air in balance with the water, ppm at one atmosphere. */
  xCO2: number;
  co2: number;
  bicarbonate: number;
  carbonate: number;
  borate: number;
  hydroxide: number;
};

const LOWEST_PH = 2;
const HIGHEST_PH = 13;
const MICRO = 1e-6;

/**
 * The carbonate system from any two of alkalinity, DIC, pCO2 and pH (all total scale). NaN throughout where no pH
 * between 2 and 13 fits. Check: S 35, 25 °C, alkalinity 2300, DIC 2000 → pH 8.0459, pCO2 396.96.
 */
export function carbonateSystem(pair: CarbonatePair, water: CarbonateWater): CarbonateSystem {
  const k = equilibria(water.salinity, water.temperatureC, water.constants);
  const boron = k.boron * (water.boronFactor ?? 1);
  return solveCarbonate(pair, water, { ...k, boron });
}

/** The same with constants already at hand, for callers that solve one water many times. */
export function solveCarbonate(
  pair: CarbonatePair,
  water: Omit<CarbonateWater, 'constants' | 'boronFactor'>,
  k: Equilibria,
): CarbonateSystem {
  const other: OtherSpecies = {
    totalAmmonia: (water.totalAmmonia ?? 0) * MICRO,
    totalPhosphate: (water.totalPhosphate ?? 0) * MICRO,
  };
  const pH = pHOfPair(pair, k, other);
  const h = 10 ** -pH;
  const co2 = dissolvedCO2(pair, h, k, other);
  const bicarbonate = (co2 * k.k1) / h;
  const carbonate = (bicarbonate * k.k2) / h;
  const fCO2 = co2 / k.k0 / MICRO;
  const pCO2 = fCO2 / k.fugacityFactor;
  return {
    pH,
    alkalinity: (carbonateFromCO2(co2, h, k) + otherAlkalinity(h, k, other)) / MICRO,
    dic: (co2 + bicarbonate + carbonate) / MICRO,
    pCO2,
    fCO2,
    xCO2: pCO2 / (1 - waterVapourPressure(water.salinity, water.temperatureC)),
    co2: co2 / MICRO,
    bicarbonate: bicarbonate / MICRO,
    carbonate: carbonate / MICRO,
    borate: borateIon(h, k) / MICRO,
    hydroxide: k.kWater / h / MICRO,
  };
}

/** Dissolved CO2, mol/kg-sw, in balance with a partial pressure in µatm. */
const co2FromPressure = (pCO2: number, k: Equilibria): number => pCO2 * MICRO * k.fugacityFactor * k.k0;

/** pH, total scale, from the two given quantities; each residual rises with pH and is bracketed. */
function pHOfPair(pair: CarbonatePair, k: Equilibria, other: OtherSpecies): number {
  if ('pH' in pair) return pair.pH;
  const solve = (residual: (h: number) => number): number =>
    root((pH) => residual(10 ** -pH), LOWEST_PH, HIGHEST_PH);
  if ('alkalinity' in pair) {
    const target = pair.alkalinity * MICRO;
    if ('dic' in pair) {
      const dic = pair.dic * MICRO;
      return solve((h) => carbonateFromDIC(dic, h, k) + otherAlkalinity(h, k, other) - target);
    }
    const co2 = co2FromPressure(pair.pCO2, k);
    return solve((h) => carbonateFromCO2(co2, h, k) + otherAlkalinity(h, k, other) - target);
  }
  const co2 = co2FromPressure(pair.pCO2, k);
  const dic = pair.dic * MICRO;
  return solve((h) => co2 * (1 + k.k1 / h + (k.k1 * k.k2) / (h * h)) - dic);
}

/** Dissolved CO2, mol/kg-sw, once the hydrogen ion is known. */
function dissolvedCO2(pair: CarbonatePair, h: number, k: Equilibria, other: OtherSpecies): number {
  if ('pCO2' in pair) return co2FromPressure(pair.pCO2, k);
  if ('dic' in pair) return (pair.dic * MICRO) / (1 + k.k1 / h + (k.k1 * k.k2) / (h * h));
  return (pair.alkalinity * MICRO - otherAlkalinity(h, k, other)) / carbonateFromCO2(1, h, k);
}
