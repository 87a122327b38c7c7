import { lazily } from './lazily.ts';

/** Numbers as a person reads them: no more digits than the knowledge behind them. */

export interface Numbers {
  /** As typed: up to four significant figures, no trailing zeros. */
  readonly plain: (value: number) => string;
  /** An estimated concentration: two significant figures, hundredths at most. */
  readonly level: (value: number) => string;
  /** An estimated amount: two or three figures, whole numbers from ten upwards. */
  readonly amount: (value: number) => string;
}

export function numbersIn(locale?: string): Numbers {
  const printer = (options: Intl.NumberFormatOptions) => lazily(() => new Intl.NumberFormat(locale, options));
  const significant = printer({ maximumSignificantDigits: 4 });
  const hundredths = printer({ maximumFractionDigits: 2 });
  const tenths = printer({ maximumFractionDigits: 1 });
  const whole = printer({ maximumFractionDigits: 0 });
  return {
    plain: (value) => significant().format(value),
    level: (value) =>
      (Math.abs(value) < 1 ? hundredths() : Math.abs(value) < 10 ? tenths() : whole()).format(value),
    amount: (value) => (Math.abs(value) < 10 ? tenths() : whole()).format(value),
  };
}

/** Reads a number typed with a point or a comma as the decimal mark. Undefined for an empty field, NaN for nonsense. */
export function readNumber(typed: string): number | undefined {
  const text = typed.trim().replace(/\s/g, '').replace(',', '.');
  if (text === '') return undefined;
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(text) ? Number(text) : Number.NaN;
}
