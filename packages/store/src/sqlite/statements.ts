/** What is asked of a SQLite file. Lists go as one JSON text: a call into the driver for each row costs more than the row. */

/** Lines kept under `?1`, a list of [tank, id]. */
export const linesUnder = `
  select entry.tank, entry.id, entry.line from json_each(?1) as asked
  join entry on entry.tank = asked.value->>0 and entry.id = asked.value->>1`;

/** Puts `?1`, a list of [tank, list of [id, line]], behind what each tank has: all of it, or none where a key is taken. */
export const putBehind = `
  with given as materialized (
    select value->>0 as tank, value->1 as rows,
      coalesce((select max(place) from entry where entry.tank = value->>0), 0) as top
    from json_each(?1))
  insert into entry (tank, place, id, line)
  select tank, top + row.key + 1, row.value->>0, row.value->>1 from given join json_each(given.rows) as row`;

export const pageOfTank =
  'select place, line from entry where tank = ?1 and place > ?2 order by place limit ?3';
