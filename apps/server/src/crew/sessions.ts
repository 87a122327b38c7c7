import type { Context } from 'hono';
import { deleteCookie, getCookie, setCookie } from 'hono/cookie';
import type { Person } from '../access/person.ts';
import type { Services } from '../services.ts';
import { first } from '../sql/database.ts';
import { digestOf, newSecret } from './secret.ts';

/** With this prefix a browser takes the cookie over a secure connection only, for this host alone (RFC 6265bis). */
const COOKIE = '__Host-brinewright';

const DAYS_SIGNED_IN = 30;
const DAY = 86_400_000;

/** Signs someone in on the device that asks. */
export async function openSession(
  { database, now, random }: Services,
  context: Context,
  account: string,
): Promise<void> {
  const secret = newSecret(random);
  const expires = now() + DAYS_SIGNED_IN * DAY;
  await database.run(
    'insert into session (secret, account, created, expires) values ($1, $2, $3, $4)',
    digestOf(secret),
    account,
    now(),
    expires,
  );
  setCookie(context, COOKIE, secret, {
    path: '/',
    secure: true,
    httpOnly: true,
    sameSite: 'Lax',
    maxAge: (DAYS_SIGNED_IN * DAY) / 1000,
  });
}

/** Signs out the device that asks. */
export async function closeSession({ database }: Services, context: Context): Promise<void> {
  const secret = getCookie(context, COOKIE);
  if (secret !== undefined) await database.run('delete from session where secret = $1', digestOf(secret));
  deleteCookie(context, COOKIE, { path: '/', secure: true });
}

/** Who is signed in on the device that asks; a session that has expired counts for nothing. */
export async function personOfSession(
  { database, now }: Services,
  context: Context,
): Promise<Person | undefined> {
  const secret = getCookie(context, COOKIE);
  if (secret === undefined) return undefined;
  return first<{ account: string }>(
    database,
    'select account from session where secret = $1 and expires > $2',
    digestOf(secret),
    now(),
  );
}
