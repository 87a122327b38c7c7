/** Numbers, bands and instants as a person reads them. */

export const dayMs = 86_400_000;

// The same words as counsel's sentences use, so that a date reads alike in both.
const day = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short' });
const instant = new Intl.DateTimeFormat('en-GB', {
  weekday: 'short',
  day: 'numeric',
  month: 'short',
  year: 'numeric',
  hour: '2-digit',
  minute: '2-digit',
});

/** "27 Feb" in the reader's own time zone. */
export const dayOf = (ms: number): string => day.format(ms);

/** "Thu, 27 Feb 2025, 18:00" in the reader's own time zone. */
export const instantOf = (ms: number): string => instant.format(ms);

/** A number with two significant digits, three from 100 on, never in powers of ten: <0.001, 0.031, 1.9, 43, 862. */
export function figure(value: number): string {
  if (value === 0 || !Number.isFinite(value)) return String(value);
  if (Math.abs(value) < 0.001) return '<0.001';
  const rounded = Number(value.toPrecision(Math.abs(value) < 99.5 ? 2 : 3));
  const digits = Math.floor(Math.log10(Math.abs(rounded)));
  return rounded.toFixed(Math.max(0, 1 - digits));
}

/** "0.31 (0.12 – 0.80)": a median and its 90 % band. */
export const banded = (band: { p05: number; p50: number; p95: number }): string =>
  `${figure(band.p50)} (${figure(band.p05)} – ${figure(band.p95)})`;

/** "83 %"; the ends say "under 1 %" and "over 99 %" rather than claim certainty. */
export function percent(probability: number): string {
  if (probability < 0.01) return 'under 1 %';
  if (probability > 0.99) return 'over 99 %';
  return `${Math.round(probability * 100)} %`;
}
