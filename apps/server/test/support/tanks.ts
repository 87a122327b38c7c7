/** Entries of a teaching tank at a coastal field station. */
import { type Entry, newEntryId, newTankId, type TankId } from '@brinewright/journal';

/** A tank by number. */
export const tankOf = (n: number): TankId => newTankId(1_772_000_000_000 + n, new Uint8Array(10).fill(7));

const START = Date.parse('2026-03-01T08:00:00Z');
const HOUR = 3_600_000;

/** The nth note about a tank. */
export function note(tank: TankId, n: number, more: Partial<Pick<Entry, 'by'>> = {}): Entry {
  const random = new Uint8Array(10).fill(Number.parseInt(tank.slice(11, 13), 16));
  const at = new Date(START + n * HOUR).toISOString();
  return { id: newEntryId(START + n, random), tank, at, ...more, kind: 'note', body: { text: `note ${n}` } };
}

export const notes = (tank: TankId, from: number, to: number): Entry[] =>
  Array.from({ length: to - from }, (_, i) => note(tank, from + i));

/** A tank with enough in it to be reckoned with: water, a dose and a reading. */
export function startedTank(tank: TankId, name: string, start = START): Entry[] {
  const entry = (n: number, hours: number, kind: string, body: object): Entry => ({
    id: newEntryId(start + 500_000 + n, new Uint8Array(10).fill(Number.parseInt(tank.slice(11, 13), 16))),
    tank,
    at: new Date(start + hours * HOUR).toISOString(),
    kind,
    body: body as Record<string, unknown>,
  });
  return [
    entry(0, 0, 'tank', {
      name,
      litres: { value: 90, sd: 5 },
      temperatureC: 25,
      salinity: 35,
      pH: 8.1,
      route: 'salt+culture',
      opened: new Date(start).toISOString(),
    }),
    entry(1, 1, 'dose', { substance: 'ammonium-chloride', nitrogenMg: 180 }),
    entry(2, 96, 'reading', { analyte: 'ammonia', as: 'N', value: 1.2 }),
  ];
}
