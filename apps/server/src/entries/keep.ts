import { type Entry, EntryClash, type EntryId, type TankId } from '@brinewright/journal';
import { type Person, roleIn } from '../access/person.ts';
import type { Services } from '../services.ts';

export interface Kept {
  readonly added: readonly EntryId[];
  readonly known: readonly EntryId[];
  /** Kept already with different content; nothing was changed. */
  readonly clashes: readonly EntryId[];
}

/** Appends what does not clash with entries already there. What is told as added or known would survive a power cut. */
export async function keepEntries(services: Services, entries: readonly Entry[]): Promise<Kept> {
  const { store, metrics, moved } = services;
  const clashes: EntryId[] = [];
  let sound = entries;
  for (;;) {
    try {
      const { added, known } = await store.append(sound);
      metrics.count('brinewright_entries_added_total', {}, added.length);
      metrics.count('brinewright_entries_known_total', {}, known.length);
      // A tank that got nothing new is found to stand as it is.
      if (added.length > 0) for (const tank of new Set(sound.map((entry) => entry.tank))) moved.note(tank);
      return { added, known, clashes };
    } catch (error) {
      if (!(error instanceof EntryClash)) throw error;
      const clashing = new Set(error.ids);
      clashes.push(...clashing);
      sound = sound.filter(({ id }) => !clashing.has(id));
    }
  }
}

/**
 * Makes someone keeper of a tank that nobody has a part in and nothing is written of; of two at once one becomes it.
 * Tells whether they may write, now or before.
 */
export async function mayWrite(services: Services, person: Person, tank: TankId): Promise<boolean> {
  const { account } = person;
  const role = await roleIn(services, person, tank);
  if (role !== undefined || account === undefined) return role === 'keeper';
  const { database, now } = services;
  return database.transaction(async (sql) => {
    await sql.lock('crew');
    const claimed = await sql.run(
      `insert into crew (tank, account, role, since)
       select $1, $2, 'keeper', cast($3 as bigint) 
       where not exists (select 1 from crew where tank = $1)
         and not exists (select 1 from entry where tank = $1)`,
      tank,
      account,
      now(),
    );
    return claimed > 0;
  });
}
