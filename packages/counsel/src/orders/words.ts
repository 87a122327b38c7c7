import { fromNitrogen, type NitrogenBasis } from '@brinewright/journal';
import type { NitrogenAnalyte } from '../situation/readings.ts';
import type { Bearings } from './bearings.ts';
import type { Band } from './particles.ts';

/** Two significant digits, never in powers of ten. */
export function figure(value: number): string {
  if (value === 0) return '0';
  if (Math.abs(value) < 0.001) return '< 0.001';
  const rounded = Number(value.toPrecision(Math.abs(value) >= 99.5 ? 3 : 2));
  const digits = Math.floor(Math.log10(Math.abs(rounded)));
  return rounded.toFixed(Math.max(0, 1 - digits));
}

/** Two significant digits as a number, so that an amount does not twitch with the last particle. */
export const neat = (value: number): number => Number(value.toPrecision(2));

export const bandWords = ({ p05, p50, p95 }: Band, unit: string): string =>
  `${figure(p50)} (${figure(p05)}–${figure(p95)}) ${unit}`;

/** The ion a keeper's own numbers of an analyte count: that of the last reading, else of a kit, else N. */
function basisOf({ facts }: Bearings, analyte: NitrogenAnalyte): NitrogenBasis {
  const read = facts.readings.findLast((reading) => reading.analyte === analyte)?.as;
  return read ?? [...facts.kits.values()].find((kit) => kit.analyte === analyte)?.as ?? 'N';
}

/** A level in the ion the keeper reads it in: "3.3 mg/L as NO2". */
export function levelWords(bearings: Bearings, analyte: NitrogenAnalyte, mgNL: number): string {
  const basis = basisOf(bearings, analyte);
  return `${figure(fromNitrogen(mgNL, basis))} mg/L as ${basis}`;
}

export function levelBandWords(bearings: Bearings, analyte: NitrogenAnalyte, band: Band): string {
  const basis = basisOf(bearings, analyte);
  const shown = (value: number): number => fromNitrogen(value, basis);
  return bandWords({ p05: shown(band.p05), p50: shown(band.p50), p95: shown(band.p95) }, `mg/L as ${basis}`);
}

/** "a, b and c". */
export const listWords = (items: readonly string[]): string =>
  items.length < 2 ? (items[0] ?? '') : `${items.slice(0, -1).join(', ')} and ${items.at(-1)}`;
