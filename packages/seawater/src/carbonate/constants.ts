import { pKAmmoniumCleggWhitfield1995 } from '../ammonia/clegg-whitfield-1995.ts';
import { lnKSulfateDickson1990 } from '../equilibrium/bisulfate.ts';
import { lnKBoricDickson1990 } from '../equilibrium/boric.ts';
import { carbonDioxideFugacityFactor, lnKCarbonDioxideWeiss1974 } from '../equilibrium/carbon-dioxide-gas.ts';
import { pKCarbonicLueker2000, pKCarbonicMillero2010 } from '../equilibrium/carbonic.ts';
import { lnKFluorideDicksonRiley1979, lnKFluoridePerezFraga1987 } from '../equilibrium/fluoride.ts';
import { lnKPhosphoricHandbook2007, lnKPhosphoricYaoMillero1995 } from '../equilibrium/phosphoric.ts';
import {
  totalBoronLee2010,
  totalBoronUppstrom1974,
  totalFluoride,
  totalSulfate,
} from '../equilibrium/totals.ts';
import { lnKWaterHandbook2007, lnKWaterMillero1995 } from '../equilibrium/water.ts';

/** Which published constant serves for each equilibrium. */
export type ConstantSet = {
  /** Carbonic acid. `by-salinity`: [L00] from S 19 up, [M10] below. */
  carbonic: 'L00' | 'M10' | 'by-salinity';
  fluoride: 'DR79' | 'PF87';
  /** Ion product of water and phosphoric acid: the seawater-scale originals, or the handbook's flat shift. */
  water: 'M95' | 'DSC07';
  phosphoric: 'YM95' | 'DSC07';
  boron: 'U74' | 'L10';
};

/** What is used where nothing else is asked for. */
export const defaultConstants: ConstantSet = {
  carbonic: 'by-salinity',
  fluoride: 'DR79',
  water: 'M95',
  phosphoric: 'YM95',
  boron: 'U74',
};

/** Salinity below which [L00] gives way to [M10]. */
export const LUEKER_LOWEST_SALINITY = 19;

/** Constants of one water, total scale (K_S and K_F: free scale), mol/kg-sw, with the totals that follow salinity. */
export type Equilibria = {
  k0: number;
  k1: number;
  k2: number;
  kBoric: number;
  kWater: number;
  kAmmonium: number;
  kP1: number;
  kP2: number;
  kP3: number;
  kSulfate: number;
  kFluoride: number;
  boron: number;
  sulfate: number;
  fluoride: number;
  /** Free hydrogen ion to total. */
  freeToTotal: number;
  /** Fugacity of CO2 over its partial pressure. */
  fugacityFactor: number;
};

/** All constants of a water of this salinity and temperature (°C). */
export function equilibria(
  salinity: number,
  temperatureC: number,
  choice: Partial<ConstantSet> = {},
): Equilibria {
  const set = { ...defaultConstants, ...choice };
  const sulfate = totalSulfate(salinity);
  const fluoride = totalFluoride(salinity);
  const kSulfate = Math.exp(lnKSulfateDickson1990(salinity, temperatureC));
  const lnKF = set.fluoride === 'DR79' ? lnKFluorideDicksonRiley1979 : lnKFluoridePerezFraga1987;
  const kFluoride = Math.exp(lnKF(salinity, temperatureC));
  const freeToTotal = 1 + sulfate / kSulfate;
  const swsToTotal = freeToTotal / (freeToTotal + fluoride / kFluoride);

  const useMillero =
    set.carbonic === 'M10' || (set.carbonic === 'by-salinity' && salinity < LUEKER_LOWEST_SALINITY);
  const { pK1, pK2 } = useMillero
    ? pKCarbonicMillero2010(salinity, temperatureC)
    : pKCarbonicLueker2000(salinity, temperatureC);
  const carbonicScale = useMillero ? swsToTotal : 1;

  const kWater =
    set.water === 'M95'
      ? Math.exp(lnKWaterMillero1995(salinity, temperatureC)) * swsToTotal
      : Math.exp(lnKWaterHandbook2007(salinity, temperatureC));
  const phosphoric =
    set.phosphoric === 'YM95'
      ? lnKPhosphoricYaoMillero1995(salinity, temperatureC)
      : lnKPhosphoricHandbook2007(salinity, temperatureC);
  const phosphoricScale = set.phosphoric === 'YM95' ? swsToTotal : 1;

  return {
    k0: Math.exp(lnKCarbonDioxideWeiss1974(salinity, temperatureC)),
    k1: 10 ** -pK1 * carbonicScale,
    k2: 10 ** -pK2 * carbonicScale,
    kBoric: Math.exp(lnKBoricDickson1990(salinity, temperatureC)),
    kWater,
    kAmmonium: 10 ** -pKAmmoniumCleggWhitfield1995(salinity, temperatureC),
    kP1: Math.exp(phosphoric.lnK1) * phosphoricScale,
    kP2: Math.exp(phosphoric.lnK2) * phosphoricScale,
    kP3: Math.exp(phosphoric.lnK3) * phosphoricScale,
    kSulfate,
    kFluoride,
    boron: set.boron === 'U74' ? totalBoronUppstrom1974(salinity) : totalBoronLee2010(salinity),
    sulfate,
    fluoride,
    freeToTotal,
    fugacityFactor: carbonDioxideFugacityFactor(temperatureC),
  };
}
