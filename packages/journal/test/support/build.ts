import {
  type BodyOf,
  type Entry,
  type EntryId,
  type EntryOf,
  type Kind,
  newEntryId,
  newTankId,
  type TankId,
} from '@brinewright/journal';

const DAY = 86_400_000;
/** Day 0 of every tank in these tests. */
export const OPENING = Date.UTC(2026, 2, 1, 8);

export const TANK: TankId = newTankId(OPENING, new Uint8Array(10).fill(1));
export const OTHER_TANK: TankId = newTankId(OPENING, new Uint8Array(10).fill(2));

/** The nth id: later numbers sort later. */
export const id = (n: number): EntryId => newEntryId(OPENING + n, new Uint8Array(10).fill(7));

export const instant = (day: number): string => new Date(OPENING + day * DAY).toISOString();

interface When {
  readonly n: number;
  readonly day?: number;
  /** Day it was written down; left out of the entry where absent. */
  readonly recorded?: number;
  readonly tank?: TankId;
}

/** One entry, its id the nth. */
export function entry<K extends Kind>(kind: K, body: BodyOf<K>, when: When): EntryOf<K> {
  const recorded = when.recorded === undefined ? {} : { recorded: instant(when.recorded) };
  const { n, day = 0, tank = TANK } = when;
  return { id: id(n), tank, at: instant(day), ...recorded, kind, body } as EntryOf<K>;
}

export const ammonia = (value: number, when: When): EntryOf<'reading'> =>
  entry('reading', { analyte: 'ammonia', as: 'N', value }, when);

/** A file as text: header and lines. */
export const file = (...lines: readonly (Entry | string | object)[]): string =>
  `${['{"journal":1}', ...lines.map((line) => (typeof line === 'string' ? line : JSON.stringify(line)))].join('\n')}\n`;
