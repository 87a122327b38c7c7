/** Numbers, bands and instants as a person reads them. */

const months = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];
const weekdays = ['Sun', 'Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat'];

export const dayMs = 86_400_000;

/** "27 Feb" in the reader's own time zone. */
export function dayOf(ms: number): string {
  const date = new Date(ms);
  return `${date.getDate()} ${months[date.getMonth()]}`;
}

/** "Thu 27 Feb 2025, 18:00" in the reader's own time zone. */
export function instantOf(ms: number): string {
  const date = new Date(ms);
  const two = (value: number): string => String(value).padStart(2, '0');
  return `${weekdays[date.getDay()]} ${dayOf(ms)} ${date.getFullYear()}, ${two(date.getHours())}:${two(date.getMinutes())}`;
}

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
