import { hash, verify } from '@node-rs/argon2';
import * as z from 'zod/mini';
import { Fault } from '../http/problem.ts';
import type { Services } from '../services.ts';
import { first, type Sql } from '../sql/database.ts';
import { type Account, accountNamed } from './accounts.ts';

/** Argon2id (2) with 19 MiB, two passes, one lane (RFC 9106; the least that OWASP's cheat sheet advises). */
const COST = { algorithm: 2, memoryCost: 19_456, timeCost: 2, parallelism: 1 } as const;

/** Long rather than odd (NIST SP 800-63B): length is what makes guessing slow. */
export const newPassword = z.string().check(z.minLength(12), z.maxLength(200));

export async function setPassword(sql: Sql, account: string, password: string): Promise<void> {
  await sql.run(
    `insert into password (account, hash) values ($1, $2)
     on conflict (account) do update set hash = excluded.hash`,
    account,
    await hash(password.normalize('NFKC'), COST),
  );
}

/** The same whatever did not fit. */
const REMEDY =
  'Write both once more, with capitals as they were set. Where a device of yours is still signed in, set a new password ' +
  'there, in the Workshop; or use a passkey; else ask a keeper of the tank for a new invitation.';

let decoy: Promise<string> | undefined;

/**
 * Who brings this name and password. An unknown name takes as long as a wrong password, so that asking does not tell
 * who has an account.
 * @throws Fault where they do not fit
 */
export async function accountByPassword(
  { database }: Services,
  name: string,
  password: string,
): Promise<Account> {
  const account = await accountNamed(database, name);
  const kept =
    account &&
    (await first<{ hash: string }>(database, 'select hash from password where account = $1', account.id));
  decoy ??= hash('nobody has this password', COST);
  const fits = await verify(kept?.hash ?? (await decoy), password.normalize('NFKC'));
  if (account === undefined || kept === undefined || !fits) throw new Fault('wrong-credentials', REMEDY);
  return account;
}
