/** The newest entry of every tank; the index on (tank, seq) answers the inner part. */
export const newestOfTanks = `
  select entry.tank, entry.seq, entry.id from entry
  join (select tank, max(seq) as seq from entry group by tank) newest on newest.seq = entry.seq
  order by entry.seq`;
