import { freeAmmoniaFraction } from '@brinewright/seawater';
import { blend } from '../mixing/blend.ts';
import { LARGEST_SHARE } from '../mixing/exchange.ts';
import type { Bearings } from '../orders/bearings.ts';
import { exchangeSize } from '../orders/exchange-size.ts';
import type { ExchangeSize } from '../orders/order.ts';
import type { Exposure } from './exposure.ts';

/** Smallest change worth the work. */
const leastShare = 0.15;
/** pH of new sea water in balance with ordinary air; only used to foresee what mixing does. */
const newWaterPH = 8.2;
const mostTimes = 4;

export interface AmmoniaExchange {
  readonly size: ExchangeSize;
  /** pH the mixed water is expected to have; undefined where the tank's own is not known. */
  readonly pHAfter: number | undefined;
  /** Hours until the animals' own waste brings ammonia back to the limit; undefined where their load is not known. */
  readonly lastsHours: number | undefined;
}

/**
 * The change that brings total ammonia of `level` mg N/L to where its un-ionised share meets `limit`: share
 * f = 1 − limit/(x·C), x reckoned at the pH after mixing, at most half at once and repeated.
 */
export function ammoniaExchange(
  bearings: Bearings,
  exposure: Exposure,
  level: number,
  limit: number,
): AmmoniaExchange {
  const needed = (share: number): number => 1 - limit / (share * level);
  const first = Math.min(LARGEST_SHARE, Math.max(leastShare, needed(exposure.share)));
  const pHAfter = exposure.pH.measured ? mixedPH(bearings, exposure.pH.value, first) : undefined;
  const shareAfter = pHAfter === undefined ? exposure.share : shareAt(bearings, pHAfter);
  const whole = Math.max(leastShare, needed(shareAfter));
  const each = Math.min(LARGEST_SHARE, whole);
  const times = Math.min(mostTimes, Math.max(1, Math.ceil(Math.log(1 - whole) / Math.log(1 - each) - 0.01)));
  const load = bearings.animals.loadMgNPerDay;
  const left = level * (1 - each) ** times;
  const room = Math.max(0, limit / shareAfter - left);
  const lastsHours = load && bearings.litres ? (24 * room * bearings.litres.value) / load : undefined;
  return { size: exchangeSize(bearings, each, times), pHAfter, lastsHours };
}

const shareAt = ({ salinity, temperatureC }: Bearings, pH: number): number =>
  freeAmmoniaFraction({ pH, pHScale: 'NBS', salinity, temperatureC });

function mixedPH(bearings: Bearings, pH: number, share: number): number | undefined {
  const { salinity, temperatureC, levels, facts } = bearings;
  const exact = (value: number) => ({ value, sd: 0 });
  const water = { salinity: exact(salinity), temperatureC: exact(temperatureC) };
  const mixed = blend(
    { ...water, litres: exact(1 - share), alkalinityMeqL: exact(levels.alkalinity.p50), pH: exact(pH) },
    {
      ...water,
      litres: exact(share),
      alkalinityMeqL: exact(facts.alkalinityMeqL ?? 2.5),
      pH: exact(newWaterPH),
    },
  );
  return mixed.results.find(({ name }) => name === 'pH')?.value;
}
