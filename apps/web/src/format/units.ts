import { lazily } from './lazily.ts';

/** Units a reader may choose; the journal keeps litres and °C whatever is chosen here. */
export type VolumeUnit = 'L' | 'gal';
export type TemperatureUnit = '°C' | '°F';

/** One quantity in a reader's unit. `fromShown` and `toShown` are exact inverses up to rounding. */
export interface Measure {
  readonly unit: string;
  readonly toShown: (canonical: number) => number;
  readonly fromShown: (shown: number) => number;
  /** With its unit, "212 L". */
  readonly say: (canonical: number) => string;
}

/** Litres in one US liquid gallon (NIST Handbook 44, 231 cubic inches). */
const LITRES_PER_GALLON = 3.785411784;

export function volumeIn(unit: VolumeUnit, locale?: string): Measure {
  const factor = unit === 'gal' ? LITRES_PER_GALLON : 1;
  const format = numberWith(unit, CONVERTED.has(unit) ? 3 : 4, locale);
  return {
    unit,
    toShown: (litres) => litres / factor,
    fromShown: (shown) => shown * factor,
    say: (litres) => format(litres / factor),
  };
}

export function temperatureIn(unit: TemperatureUnit, locale?: string): Measure {
  const fahrenheit = unit === '°F';
  const toShown = (celsius: number) => (fahrenheit ? celsius * 1.8 + 32 : celsius);
  const format = numberWith(unit, CONVERTED.has(unit) ? 3 : 4, locale);
  return {
    unit,
    toShown,
    fromShown: (shown) => (fahrenheit ? (shown - 32) / 1.8 : shown),
    say: (celsius) => format(toShown(celsius)),
  };
}

/** A converted figure must not look more exact than what was written. */
const CONVERTED: ReadonlySet<string> = new Set(['gal', '°F']);

/** The SI symbols and a space that does not break; a locale's own style would write "212 l" in places. */
function numberWith(unit: string, digits: number, locale: string | undefined): (value: number) => string {
  const format = lazily(() => new Intl.NumberFormat(locale, { maximumSignificantDigits: digits }));
  return (value) => `${format().format(value)}\u00a0${unit}`;
}

/** What most people near the reader use. */
export function usualUnits(locale: string): {
  readonly volume: VolumeUnit;
  readonly temperature: TemperatureUnit;
} {
  const tag = new Intl.Locale(locale);
  const region = tag.region ?? tag.maximize().region;
  return region === 'US' || region === 'LR'
    ? { volume: 'gal', temperature: '°F' }
    : { volume: 'L', temperature: '°C' };
}
