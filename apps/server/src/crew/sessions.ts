import type { Context } from 'hono';
import { deleteCookie, getCookie, setCookie } from 'hono/cookie';
import * as z from 'zod/mini';
import type { Person } from '../access/person.ts';
import type { Services } from '../services.ts';
import { first } from '../sql/database.ts';
import { digestOf, newSecret } from './secret.ts';

/** With this prefix a browser takes the cookie over a secure connection only, for this host alone (RFC 6265bis). */
const COOKIE = '__Host-brinewright';

const DAYS_SIGNED_IN = 30;
const HOUR = 3_600_000;
const DAY = 24 * HOUR;

const device = z.enum(['hand-held', 'computer', 'program']);
type Device = z.infer<typeof device>;

export const sessionList = z.array(
  z.object({
    id: z.string(),
    /** By what the browser said of itself when it signed in; nothing else of that is kept. */
    device,
    began: z.string(),
    /** Right to the hour. */
    used: z.string(),
    expires: z.string(),
    /** The one that asks. */
    here: z.boolean(),
  }),
);

/** The kind of device, where it tells: a tablet that calls itself a computer counts as one. */
function deviceOf(userAgent = ''): Device {
  if (/\b(Mobile|Mobi|Tablet)\b/.test(userAgent)) return 'hand-held';
  return userAgent.startsWith('Mozilla/') ? 'computer' : 'program';
}

/** A session's name for its owner: too little of the digest to find the whole by. */
const ID = 'substr(secret, 1, 16)';

/** Digest of the secret the device that asks has brought. */
export function sessionOf(context: Context): string | undefined {
  const secret = getCookie(context, COOKIE);
  return secret === undefined ? undefined : digestOf(secret);
}

/** Signs someone in on the device that asks. Gives the digest of its new secret. */
export async function openSession(
  { database, now, random }: Services,
  context: Context,
  account: string,
): Promise<string> {
  const secret = newSecret(random);
  const digest = digestOf(secret);
  await database.run(
    'insert into session (secret, account, device, created, used, expires) values ($1, $2, $3, $4, $4, $5)',
    digest,
    account,
    deviceOf(context.req.header('User-Agent')),
    now(),
    now() + DAYS_SIGNED_IN * DAY,
  );
  setCookie(context, COOKIE, secret, {
    path: '/',
    secure: true,
    httpOnly: true,
    sameSite: 'Lax',
    maxAge: (DAYS_SIGNED_IN * DAY) / 1000,
  });
  return digest;
}

/** Gives the device that asks a new secret, which ends all other sessions of its owner. */
export async function renewAlone(services: Services, context: Context, account: string): Promise<void> {
  const { database } = services;
  const before = sessionOf(context) ?? '';
  const digest = await openSession(services, context, account);
  // This device goes on being told what is due.
  await database.run('update push_subscription set session = $1 where session = $2', digest, before);
  await endOthers(services, account, digest);
}

/** Signs out the device that asks. */
export async function closeSession({ database }: Services, context: Context): Promise<void> {
  const digest = sessionOf(context);
  if (digest !== undefined) await database.run('delete from session where secret = $1', digest);
  deleteCookie(context, COOKIE, { path: '/', secure: true });
}

/** Ends one session of someone. Tells whether there was such a one. */
export async function endSession({ database }: Services, account: string, id: string): Promise<boolean> {
  return (await database.run(`delete from session where account = $1 and ${ID} = $2`, account, id)) > 0;
}

/** Ends all sessions of someone but one. @param kept its digest */
export async function endOthers({ database }: Services, account: string, kept: string): Promise<void> {
  await database.run('delete from session where account = $1 and secret <> $2', account, kept);
}

/** Where someone is signed in, last used first. @param here digest of the session that asks */
export async function sessionsOf(
  { database, now }: Services,
  account: string,
  here?: string,
): Promise<z.infer<typeof sessionList>> {
  const rows = await database.all<{
    id: string;
    secret: string;
    device: Device;
    created: number;
    used: number;
    expires: number;
  }>(
    `select ${ID} as id, secret, device, created, used, expires from session
     where account = $1 and expires > $2 order by used desc, created desc, secret`,
    account,
    now(),
  );
  const text = (at: number): string => new Date(at).toISOString();
  return rows.map(({ id, secret, device: kind, created, used, expires }) => ({
    id,
    device: kind,
    began: text(created),
    used: text(used),
    expires: text(expires),
    here: secret === here,
  }));
}

/** Who is signed in on the device that asks; a session that has expired counts for nothing. */
export async function personOfSession(
  { database, now }: Services,
  context: Context,
): Promise<Person | undefined> {
  const digest = sessionOf(context);
  if (digest === undefined) return undefined;
  const session = await first<{ account: string; used: number }>(
    database,
    'select account, used from session where secret = $1 and expires > $2',
    digest,
    now(),
  );
  if (session === undefined) return undefined;
  // Noted once an hour: a write for each request would cost more than it tells.
  if (Math.abs(now() - session.used) >= HOUR)
    await database.run('update session set used = $1 where secret = $2', now(), digest);
  return { account: session.account };
}
