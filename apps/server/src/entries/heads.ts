import type { Head, TankId } from '@brinewright/journal';
import type { Person } from '../access/person.ts';
import type { Role } from '../access/rules.ts';
import { Fault } from '../http/problem.ts';
import type { Services } from '../services.ts';
import type { Database } from '../sql/database.ts';
import { first } from '../sql/database.ts';

/**
 * The newest entry of one tank. The port tells that of all tanks at once, which on a server of many is a lot to ask
 * for one: so this reads the store's own table, by its index (packages/store/src/sql/migrations).
 */
export async function headOf(database: Database, tank: TankId): Promise<Head | undefined> {
  return first<Head>(
    database,
    'select place as cursor, id as last from entry where tank = $1 order by place desc limit 1',
    tank,
  );
}

export interface HeldTank {
  readonly tank: TankId;
  readonly role: Role;
  /** Undefined where nothing is written of it yet. */
  readonly head: Head | undefined;
}

/** The tanks someone has a part in, by id, each with its newest entry: in one question, however many. */
export async function tanksWithHeads(
  { database, store }: Pick<Services, 'database' | 'store'>,
  { account }: Person,
): Promise<readonly HeldTank[]> {
  if (account === undefined)
    return [...(await store.heads())]
      .map(([tank, head]): HeldTank => ({ tank, role: 'keeper', head }))
      .sort((a, b) => (a.tank < b.tank ? -1 : 1));
  const rows = await database.all<{
    tank: TankId;
    role: Role;
    cursor: Head['cursor'] | null;
    last: Head['last'];
  }>(
    `select crew.tank, crew.role, entry.place as cursor, entry.id as last from crew
     left join entry on entry.tank = crew.tank
       and entry.place = (select max(place) from entry newest where newest.tank = crew.tank)
     where crew.account = $1 order by crew.tank`,
    account,
  );
  return rows.map(({ tank, role, cursor, last }) => ({
    tank,
    role,
    head: cursor === null ? undefined : { cursor, last },
  }));
}

/** As `headOf`. @throws Fault where the tank has no entry */
export async function mustHaveHead(database: Database, tank: TankId): Promise<Head> {
  const head = await headOf(database, tank);
  if (head === undefined) throw new Fault('not-here');
  return head;
}

/** A place in a tank's journal, as it stands in addresses and answers. */
export const placeText = ({ cursor, last }: Head): string => `${cursor}.${last}`;

const PLACE = /^(\d{1,15})\.([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})$/;

/** The place a text names, or undefined where it names none. */
export function placeOf(text: string): Head | undefined {
  const match = PLACE.exec(text);
  return match === null ? undefined : ({ cursor: Number(match[1]), last: match[2] } as Head);
}
