import { instantMs } from '@brinewright/journal';
import { InvalidArgumentError } from 'commander';
import type { AsOf } from './journal/choose.ts';

/** Readers of option values; each throws what commander turns into "wrong usage". */

export function readInstant(text: string): number {
  const ms = instantMs(text);
  if (ms === undefined)
    throw new InvalidArgumentError('Write date, time and offset, such as 2025-03-01T18:00:00+01:00.');
  return ms;
}

export const readAsOf = (text: string): AsOf => (text === 'now' ? text : readInstant(text));

/** A whole number between two bounds, both included. */
export function readWhole(low: number, high: number): (text: string) => number {
  return (text) => {
    const value = Number(text);
    if (/^\d+$/.test(text) && value >= low && value <= high) return value;
    throw new InvalidArgumentError(`It must be a whole number from ${low} to ${high}.`);
  };
}
