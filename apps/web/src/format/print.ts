import { words } from '../words/index.ts';
import type { Dates } from './dates.ts';
import { DAY_MS, datesIn } from './dates.ts';
import type { Numbers } from './numbers.ts';
import { numbersIn } from './numbers.ts';
import type { Measure, TemperatureUnit, VolumeUnit } from './units.ts';
import { temperatureIn, volumeIn } from './units.ts';

/** Everything needed to print a fact for one reader. */
export interface Print {
  readonly dates: Dates;
  readonly numbers: Numbers;
  readonly volume: Measure;
  readonly temperature: Measure;
}

interface Reader {
  readonly volume: VolumeUnit;
  readonly temperature: TemperatureUnit;
  readonly locale?: string;
  readonly timeZone?: string;
}

export function printFor({ volume, temperature, locale, timeZone }: Reader): Print {
  return {
    dates: datesIn(locale ?? words.dates, timeZone),
    numbers: numbersIn(locale),
    volume: volumeIn(volume, locale),
    temperature: temperatureIn(temperature, locale),
  };
}

/** How long ago, in whole steps that get coarser. */
export function ago(at: number, now: number): string {
  const minutes = Math.floor((now - at) / 60_000);
  if (minutes < 1) return words.ago.now;
  if (minutes < 60) return words.ago.minutes(minutes);
  const hours = Math.floor(minutes / 60);
  return hours < 48 ? words.ago.hours(hours) : words.ago.days(Math.floor((now - at) / DAY_MS));
}
