import type { Context } from 'hono';
import * as z from 'zod/mini';
import { type Env, tanksOf } from '../access/person.ts';
import type { Services } from '../services.ts';
import { first } from '../sql/database.ts';
import { sessionsOf } from './sessions.ts';

export const accountAnswer = z.object({ account: z.string(), name: z.string() });
/** Someone's own account. */
export const selfAnswer = z.object({
  account: z.string(),
  name: z.string(),
  hasPassword: z.boolean(),
  passkeys: z.array(z.object({ id: z.string(), created: z.string() })),
  tanks: z.array(z.object({ tank: z.string(), role: z.enum(['keeper', 'mentor', 'reader']) })),
});

/** These routes are there on a shared server only, where every person has an account. */
export function accountOf(context: Context<Env>): string {
  const { account } = context.get('person');
  if (account === undefined) throw new Error('a person of a shared server has an account');
  return account;
}

export async function nameOf({ database }: Services, account: string): Promise<string> {
  return (
    (await first<{ name: string }>(database, 'select name from account where id = $1', account))?.name ?? ''
  );
}

export async function selfOf(services: Services, account: string): Promise<z.infer<typeof selfAnswer>> {
  const { database } = services;
  const passkeys = await database.all<{ id: string; created: number }>(
    'select id, created from passkey where account = $1 order by created, id',
    account,
  );
  const password = await first(database, 'select account from password where account = $1', account);
  const tanks = await tanksOf(services, { account });
  return {
    account,
    name: await nameOf(services, account),
    hasPassword: password !== undefined,
    passkeys: passkeys.map(({ id, created }) => ({ id, created: new Date(created).toISOString() })),
    tanks: [...tanks].map(([tank, role]) => ({ tank, role })),
  };
}

/** Everything kept about someone beside the journals. */
export async function aboutSelf(services: Services, account: string) {
  const { database } = services;
  const proposals = await database.all(
    `select tank, id, proposed_by, proposed_at, body, decision, decided_by, decided_at from proposal
     where proposed_by = $1 or decided_by = $1 order by id`,
    account,
  );
  const sessions = (await sessionsOf(services, account)).map(({ device, began, used, expires }) => ({
    device,
    began,
    used,
    expires,
  }));
  const quietHours = await database.all(
    'select zone, from_minute, until_minute from own_quiet_hours where account = $1',
    account,
  );
  const reminders = await database.all(
    'select tank, advice, at from reminded where account = $1 order by at, tank, advice',
    account,
  );
  const pushServices = await database.all(
    'select endpoint, created from push_subscription where account = $1 order by created',
    account,
  );
  return { ...(await selfOf(services, account)), sessions, proposals, reminders, pushServices, quietHours };
}
