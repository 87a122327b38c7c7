import { fahrenheitFromCelsius } from '@brinewright/seawater';
import type { Figure } from '../worked.ts';
import { factors } from './kinds.ts';

/** Units a reader is used to. Inside, and in every file, units are metric. */
export type UnitSystem = 'metric' | 'us' | 'uk';

/** How a figure's canonical unit is shown in each system: unit and factor. */
const shown: Readonly<Record<string, Partial<Record<UnitSystem, { unit: string; per: number }>>>> = {
  L: {
    us: { unit: 'US gal', per: factors.volume!['us gal']! },
    uk: { unit: 'UK gal', per: factors.volume!['uk gal']! },
  },
  cm: { us: { unit: 'in', per: factors.length!.in! } },
};

/** A figure in the reader's units; unchanged where the system has no other. */
export function inSystem(figure: Figure, system: UnitSystem): Figure {
  if (figure.unit === '°C' && system === 'us')
    return { ...figure, value: fahrenheitFromCelsius(figure.value), sd: (figure.sd * 9) / 5, unit: '°F' };
  const other = shown[figure.unit]?.[system];
  if (!other) return figure;
  return { ...figure, value: figure.value / other.per, sd: figure.sd / other.per, unit: other.unit };
}

/** Digits kept of a number with no error: enough to weigh or measure by, no more. */
const PLAIN_DIGITS = 4;

/** Decimals at which a number is written: two digits of its error, or so many of itself. */
function decimals(value: number, sd: number, plainDigits: number): number {
  const from = sd > 0 ? sd : Math.abs(value);
  if (from === 0 || !Number.isFinite(from)) return 0;
  const digits = sd > 0 ? 2 : plainDigits;
  return Math.min(8, Math.max(0, digits - 1 - Math.floor(Math.log10(from))));
}

/** "204.3 ± 6.1 L": a figure as a person reads it. */
export function sayFigure(figure: Pick<Figure, 'value' | 'sd' | 'unit' | 'digits'>): string {
  const { value, sd, unit, digits = PLAIN_DIGITS } = figure;
  const places = decimals(value, sd, digits);
  const error = sd > 0 ? ` ± ${sd.toFixed(places)}` : '';
  return `${value.toFixed(places)}${error}${unit === '' ? '' : ` ${unit}`}`;
}
