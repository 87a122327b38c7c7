import type { TankId } from '@brinewright/journal';
import type { Services } from '../services.ts';
import { first } from '../sql/database.ts';
import type { Role } from './rules.ts';

/** Who asks. Without an account: the one person of a server for one. */
export interface Person {
  readonly account: string | undefined;
}

export const ALONE: Person = { account: undefined };

/** What hono carries along with a request. */
export interface Env {
  Variables: {
    /** Set wherever the rule is not for anyone, a secret, a probe or the operator. */
    person: Person;
    /** The tank of the address. Set wherever the rule asks for a part in it. */
    tank: TankId;
    /** Set there too; undefined where the tank is new to this server. */
    role: Role | undefined;
  };
}

/** Someone's part in a tank, if any. */
export async function roleIn(
  { database }: Pick<Services, 'database'>,
  { account }: Person,
  tank: TankId,
): Promise<Role | undefined> {
  if (account === undefined) return 'keeper';
  const row = await first<{ role: Role }>(
    database,
    'select role from crew where tank = $1 and account = $2',
    tank,
    account,
  );
  return row?.role;
}

/** The tanks someone has a part in, or all there are for the one person of a server for one. */
export async function tanksOf(
  { database, store }: Pick<Services, 'database' | 'store'>,
  { account }: Person,
): Promise<ReadonlyMap<TankId, Role>> {
  if (account === undefined) return new Map((await store.tanks()).map((tank) => [tank, 'keeper']));
  const rows = await database.all<{ tank: TankId; role: Role }>(
    'select tank, role from crew where account = $1 order by tank',
    account,
  );
  return new Map(rows.map(({ tank, role }) => [tank, role]));
}

/** Whether nobody has a part in a tank yet and nothing is written of it: then its first entries make a keeper. */
export async function isNew(
  { database, store }: Pick<Services, 'database' | 'store'>,
  tank: TankId,
): Promise<boolean> {
  if ((await first(database, 'select tank from crew where tank = $1 limit 1', tank)) !== undefined)
    return false;
  return (await store.read({ tank, limit: 1 })).entries.length === 0;
}
