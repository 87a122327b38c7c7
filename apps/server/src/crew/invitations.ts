import type { TankId } from '@brinewright/journal';
import type { Role } from '../access/rules.ts';
import { Fault } from '../http/problem.ts';
import type { Services } from '../services.ts';
import { first, type Sql } from '../sql/database.ts';
import { newId } from './accounts.ts';
import { digestOf, newSecret } from './secret.ts';

const DAY = 86_400_000;

export interface Invitation {
  /** Null: the first account of a server. */
  readonly tank: TankId | null;
  readonly role: Role;
  /** Epoch milliseconds. */
  readonly expires: number;
}

export interface Invited {
  readonly id: string;
  /** To be handed to the person invited; it is kept nowhere. */
  readonly secret: string;
  readonly expires: number;
}

/** A link that lets one person take a part in a tank. */
export async function invite(
  services: Services,
  invitedBy: string | null,
  tank: TankId | null,
  role: Role,
  days: number,
): Promise<Invited> {
  const { database, now, random } = services;
  const invited = { id: newId(services), secret: newSecret(random), expires: now() + days * DAY };
  await database.run('delete from invitation where expires <= $1', now());
  await database.run(
    `insert into invitation (tank, id, secret, role, invited_by, expires) values ($1, $2, $3, $4, $5, $6)`,
    tank,
    invited.id,
    digestOf(invited.secret),
    role,
    invitedBy,
    invited.expires,
  );
  return invited;
}

/** What an invitation offers. @throws Fault where it has expired or was used */
export async function lookAt(services: Services, secret: string): Promise<Invitation> {
  const found = await first<Invitation>(
    services.database,
    'select tank, role, expires from invitation where secret = $1 and expires > $2',
    digestOf(secret),
    services.now(),
  );
  if (found === undefined) throw new Fault('expired', 'Ask for a new invitation.');
  return found;
}

/**
 * Uses an invitation up: the account gets its part. Someone who has a part already keeps the larger one. The first
 * account of a server becomes keeper of every tank that was kept there before it was shared.
 */
export async function takeUp(services: Services, sql: Sql, secret: string, account: string): Promise<void> {
  const { now } = services;
  const taken = await first<Invitation>(
    sql,
    'delete from invitation where secret = $1 and expires > $2 returning tank, role, expires',
    digestOf(secret),
    now(),
  );
  if (taken === undefined) throw new Fault('expired', 'Ask for a new invitation.');
  if (taken.tank === null) {
    // Each process that starts offers one; only the first account there is can have used it.
    if ((await first(sql, 'select id from account where id <> $1 limit 1', account)) !== undefined)
      throw new Fault('expired', 'The first account was opened already. Ask its owner for an invitation.');
    await sql.run(
      `insert into crew (tank, account, role, since)
       select distinct tank, $1, 'keeper', cast($2 as bigint) from entry
       where not exists (select 1 from crew where crew.tank = entry.tank)
       on conflict do nothing`,
      account,
      now(),
    );
    return;
  }
  await sql.run(
    `insert into crew (tank, account, role, since) values ($1, $2, $3, $4)
     on conflict (tank, account) do update set role = excluded.role
     where crew.role = 'reader' or (crew.role = 'mentor' and excluded.role = 'keeper')`,
    taken.tank,
    account,
    taken.role,
    now(),
  );
}

/** On a server without any account: a link that opens the first one. */
export async function foundingInvitation(services: Services): Promise<Invited | undefined> {
  if ((await first(services.database, 'select id from account limit 1')) !== undefined) return undefined;
  return invite(services, null, null, 'keeper', 1);
}
