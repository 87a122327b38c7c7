import { createHash } from 'node:crypto';
import { type Entry, newEntryId, newTankId, type TankId } from '@brinewright/journal';

const START = 1_772_000_000_000;

/** A tank by number. */
export const benchTank = (n: number): TankId => newTankId(START + n, new Uint8Array(10));

/** Nothing is reckoned of readings that lie ahead of the clock: they are kept, and that is all. */
const AHEAD = Date.UTC(2126, 0, 1);

/** Readings of one tank, a minute apart, from the nth on. */
export function readingsOf(tank: TankId, count: number, from = 0): Entry[] {
  const random = createHash('sha256').update(tank).digest().subarray(0, 10);
  return Array.from({ length: count }, (_, i) => {
    const at = AHEAD + (from + i) * 60_000;
    const body = { analyte: 'temperature', value: 25 + (i % 10) / 10, kit: 'sump thermometer' };
    return {
      id: newEntryId(at, random),
      tank,
      at: new Date(at).toISOString(),
      kind: 'reading',
      body,
    } as Entry;
  });
}

/** A tank with enough in it to be reckoned with. */
export function startedTank(tank: TankId, now: number): Entry[] {
  const [water, dose, reading] = readingsOf(tank, 3) as [Entry, Entry, Entry];
  const DAY = 86_400_000;
  const at = (days: number): string => new Date(now + days * DAY).toISOString();
  return [
    {
      ...water,
      at: at(-6),
      kind: 'tank',
      body: {
        name: `Tank ${tank.slice(9, 13)}`,
        litres: { value: 90, sd: 5 },
        temperatureC: 25,
        salinity: 35,
        pH: 8.1,
        route: 'salt+culture',
        opened: at(-6),
      },
    },
    { ...dose, at: at(-6), kind: 'dose', body: { substance: 'ammonium-chloride', nitrogenMg: 180 } },
    { ...reading, at: at(-2), kind: 'reading', body: { analyte: 'ammonia', as: 'N', value: 1.2 } },
  ];
}

export function batchesOf<T>(list: readonly T[], size: number): T[][] {
  const batches: T[][] = [];
  for (let start = 0; start < list.length; start += size) batches.push(list.slice(start, start + size));
  return batches;
}
