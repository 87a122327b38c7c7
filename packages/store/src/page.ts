import {
  type Cursor,
  type EntryId,
  entryOfLine,
  type Head,
  type Page,
  type PageQuery,
  START,
  type TankId,
} from '@brinewright/journal';

/** A kept line with its place in the order of arrival. */
export interface Row {
  /** Text where the driver gives 64-bit integers so; a place is far below the largest exact number. */
  readonly place: number | string;
  readonly line: string;
}

const DEFAULT_LIMIT = 1000;

/** A query with its defaults. @throws RangeError for a limit that is not a whole number above zero */
export function settled(query: PageQuery): { since: number; limit: number } {
  const { since = START, limit = DEFAULT_LIMIT } = query;
  if (!Number.isSafeInteger(limit) || limit < 1)
    throw new RangeError(`a page of ${limit} entries cannot be read`);
  return { since, limit };
}

/** A page from one row more than it may hold, so that it can say whether there is more. */
export function pageOf(rows: readonly Row[], limit: number, since: number): Page {
  const held = rows.slice(0, limit);
  return {
    entries: held.map(({ line }) => entryOfLine(line)),
    cursor: Number(held.at(-1)?.place ?? since) as Cursor,
    more: rows.length > limit,
  };
}

export interface HeadRow {
  readonly tank: TankId;
  readonly place: Row['place'];
  readonly id: EntryId;
}

export const headsOf = (rows: readonly HeadRow[]): ReadonlyMap<TankId, Head> =>
  new Map(rows.map(({ tank, place, id }) => [tank, { cursor: Number(place) as Cursor, last: id }]));
