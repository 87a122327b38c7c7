import { hydrationPrior, saltForVolume } from '@brinewright/seawater';
import type { Bearings } from './bearings.ts';
import type { ExchangeSize } from './order.ts';
import { figure, neat } from './words.ts';

/** A change of a share of the water, matched to the tank: litres and grams of salt to mix for each. */
export function exchangeSize(bearings: Bearings, share: number, times = 1): ExchangeSize {
  const { litres, salinity, temperatureC } = bearings;
  const matched = {
    salinity: Math.round(10 * salinity) / 10,
    temperatureC: Math.round(2 * temperatureC) / 2,
  };
  const litresNew = litres ? neat(share * litres.value) : null;
  return {
    litres: litresNew,
    share: Math.round(100 * share) / 100,
    times,
    ...matched,
    saltGrams:
      litresNew === null || salinity < 1
        ? null
        : neat(saltForVolume(litresNew, matched.salinity, matched.temperatureC, hydrationPrior.value)),
  };
}

/** "84 L (40 % of the water), salinity 35, 25 °C, about 3100 g of salt mix". */
export function exchangeWords({ litres, share, salinity, temperatureC, saltGrams }: ExchangeSize): string {
  const percent = `${Math.round(100 * share)} % of the water`;
  const amount = litres === null ? percent : `${figure(litres)} L (${percent})`;
  const salt = saltGrams === null ? '' : `, about ${saltGrams} g of salt mix`;
  return `${amount}, matched at salinity ${figure(salinity)} and ${figure(temperatureC)} °C${salt}`;
}
