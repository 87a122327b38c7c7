/** Every tank that has an entry, each found by one step along the index on (tank, seq), however long it is. */
const TANKS = `
  with recursive held (tank) as (
    select min(tank) from entry
    union all
    select (select min(entry.tank) from entry where entry.tank > held.tank) from held where held.tank is not null)`;

export const allTanks = `${TANKS} select tank from held where tank is not null`;

/** The newest entry of every tank. */
export const newestOfTanks = `${TANKS}
  select held.tank, entry.seq, entry.id from held
  join entry on entry.seq = (select max(newest.seq) from entry newest where newest.tank = held.tank)
  order by entry.seq`;
