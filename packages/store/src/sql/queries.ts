/** Every tank that has an entry, each found by one step along the key (tank, place), however long it is. */
const TANKS = `
  with recursive held (tank) as (
    select min(tank) from entry
    union all
    select (select min(entry.tank) from entry where entry.tank > held.tank) from held where held.tank is not null)`;

export const allTanks = `${TANKS} select tank from held where tank is not null`;

/** The newest entry of every tank. */
export const newestOfTanks = `${TANKS}
  select held.tank, entry.place, entry.id from held
  join entry on entry.tank = held.tank
    and entry.place = (select max(newest.place) from entry newest where newest.tank = held.tank)`;
