import type { AuthenticationResponseJSON, RegistrationResponseJSON } from '@simplewebauthn/server';
import { type Context, Hono } from 'hono';
import { describeRoute } from 'hono-openapi';
import * as z from 'zod/mini';
import { type Env, tanksOf } from '../access/person.ts';
import { type Account, createAccount, leftWithoutKeeper } from '../crew/accounts.ts';
import { lookAt, takeUp } from '../crew/invitations.ts';
import {
  accountByPasskey,
  askForPasskey,
  keepPasskey,
  type MadePasskey,
  madePasskey,
  offerPasskey,
} from '../crew/passkeys.ts';
import { accountByPassword, newPassword, setPassword } from '../crew/passwords.ts';
import { closeSession, openSession } from '../crew/sessions.ts';
import { answers, done, json, text } from '../http/describe.ts';
import { allowances, atMost, callerAddress } from '../http/limits.ts';
import { Fault } from '../http/problem.ts';
import { checked } from '../http/validate.ts';
import type { Services } from '../services.ts';
import { first } from '../sql/database.ts';

const name = z.string().check(z.trim(), z.minLength(1), z.maxLength(60));
const secretParam = z.object({ secret: z.string().check(z.maxLength(100)) });
const roleWord = z.enum(['keeper', 'mentor', 'reader']);

const invitationAnswer = z.object({
  tank: z.nullable(z.string()),
  role: roleWord,
  expires: z.string(),
});
/** A device's answer, as the Web Authentication API gives it; its parts are checked by what reads them. */
const deviceAnswer = z.looseObject({
  id: z.string(),
  rawId: z.string(),
  type: z.literal('public-key'),
  response: z.looseObject({}),
});
const ceremonyAnswer = z.object({ ceremony: z.string(), options: z.looseObject({}) });
const accountAnswer = z.object({ account: z.string(), name: z.string() });
const selfAnswer = z.object({
  account: z.string(),
  name: z.string(),
  hasPassword: z.boolean(),
  passkeys: z.array(z.object({ id: z.string(), created: z.string() })),
  tanks: z.array(z.object({ tank: z.string(), role: roleWord })),
});

const passwordAccount = z.object({ name, password: newPassword });
const passkeyAccount = z.object({ name, ceremony: z.string(), answer: deviceAnswer });
const passwordSession = z.object({
  name: z.string().check(z.maxLength(200)),
  password: z.string().check(z.maxLength(1000)),
});
const passkeySession = z.object({ ceremony: z.string(), answer: deviceAnswer });
const changedPassword = z.object({ password: newPassword });

/** Guessing is slow: for one address, and for one name from anywhere. */
const ADDRESS = { burst: 20, perSecond: 0.2 };
const NAME = { burst: 10, perSecond: 1 / 30 };

/** What is told when an account is closed. */
const STAYS =
  'Your name, password, passkeys, sessions and parts in tanks are gone. Entries and decisions you wrote stay in the ' +
  'journals of their tanks, under an id that no longer leads to you.';

/** Accounts, and how people prove who they are. */
export function peopleRoutes(services: Services): Hono<Env> {
  const { database, mode } = services;
  const app = new Hono<Env>();
  const byAddress = allowances(ADDRESS);
  const byName = allowances(NAME);

  const slowly = (context: Context, forName?: string): void => {
    byAddress(callerAddress(context, mode.shared && mode.behindProxy));
    if (forName !== undefined) byName(forName.toLowerCase());
  };

  const found = async (
    context: Context,
    secret: string,
    wanted: string,
    prove: (account: Account, sql: Parameters<typeof createAccount>[1]) => Promise<void>,
  ): Promise<Response> => {
    const account = await database.transaction(async (sql) => {
      await sql.lock('crew');
      const made = await createAccount(services, sql, wanted);
      await takeUp(services, sql, secret, made.id);
      await prove(made, sql);
      return made;
    });
    await openSession(services, context, account.id);
    return context.json({ account: account.id, name: account.name });
  };

  app.get(
    '/api/invitations/:secret',
    describeRoute({
      summary: 'What an invitation offers',
      responses: answers(json(invitationAnswer, 'It is still good.'), 'expired', 'too-often'),
    }),
    checked('param', secretParam),
    async (context) => {
      slowly(context);
      const { tank, role, expires } = await lookAt(services, context.req.valid('param').secret);
      return context.json({ tank, role, expires: new Date(expires).toISOString() });
    },
  );

  app.post(
    '/api/invitations/:secret/password',
    describeRoute({
      summary: 'Take an invitation up with a new account that has a password, and sign in',
      responses: answers(json(accountAnswer, 'The account.'), 'expired', 'too-often', 'unsound'),
    }),
    atMost(1),
    checked('param', secretParam),
    checked('json', passwordAccount),
    async (context) => {
      slowly(context);
      const { secret } = context.req.valid('param');
      const { name, password } = context.req.valid('json');
      await lookAt(services, secret);
      return found(context, secret, name, ({ id }, sql) => setPassword(sql, id, password));
    },
  );

  app.post(
    '/api/invitations/:secret/passkey-options',
    describeRoute({
      summary: 'What a device needs to make a passkey for a new account',
      responses: answers(
        json(ceremonyAnswer, 'For the Web Authentication API.'),
        'expired',
        'too-often',
        'unsound',
      ),
    }),
    atMost(1),
    checked('param', secretParam),
    checked('json', z.object({ name })),
    async (context) => {
      slowly(context);
      await lookAt(services, context.req.valid('param').secret);
      return context.json(await offerPasskey(services, context.req.valid('json').name, undefined));
    },
  );

  app.post(
    '/api/invitations/:secret/passkey',
    describeRoute({
      summary: 'Take an invitation up with a new account that has a passkey, and sign in',
      responses: answers(
        json(accountAnswer, 'The account.'),
        'expired',
        'wrong-credentials',
        'too-often',
        'unsound',
      ),
    }),
    atMost(1),
    checked('param', secretParam),
    checked('json', passkeyAccount),
    async (context) => {
      slowly(context);
      const { secret } = context.req.valid('param');
      const { name, ceremony, answer } = context.req.valid('json');
      await lookAt(services, secret);
      const passkey = await madePasskey(services, ceremony, asMade(answer), undefined);
      return found(context, secret, name, ({ id }, sql) => keepPasskey(services, sql, id, passkey));
    },
  );

  app.post(
    '/api/invitations/:secret',
    describeRoute({
      summary: 'Take an invitation up with the account you have',
      responses: answers(done, 'expired', 'too-often'),
    }),
    checked('param', secretParam),
    async (context) => {
      slowly(context);
      const { secret } = context.req.valid('param');
      await database.transaction(async (sql) => {
        await sql.lock('crew');
        await takeUp(services, sql, secret, accountOf(context));
      });
      return context.body(null, 204);
    },
  );

  app.post(
    '/api/sessions/password',
    describeRoute({
      summary: 'Sign in with name and password',
      responses: answers(json(accountAnswer, 'The account.'), 'wrong-credentials', 'too-often', 'unsound'),
    }),
    atMost(1),
    checked('json', passwordSession),
    async (context) => {
      const { name, password } = context.req.valid('json');
      slowly(context, name);
      const account = await accountByPassword(services, name, password);
      await openSession(services, context, account.id);
      return context.json({ account: account.id, name: account.name });
    },
  );

  app.post(
    '/api/sessions/passkey-options',
    describeRoute({
      summary: 'What a device needs to sign in with a passkey',
      responses: answers(json(ceremonyAnswer, 'For the Web Authentication API.'), 'too-often'),
    }),
    async (context) => {
      slowly(context);
      return context.json(await askForPasskey(services));
    },
  );

  app.post(
    '/api/sessions/passkey',
    describeRoute({
      summary: 'Sign in with a passkey',
      responses: answers(
        json(accountAnswer, 'The account.'),
        'wrong-credentials',
        'expired',
        'too-often',
        'unsound',
      ),
    }),
    atMost(1),
    checked('json', passkeySession),
    async (context) => {
      slowly(context);
      const { ceremony, answer } = context.req.valid('json');
      const account = await accountByPasskey(services, ceremony, asSigned(answer));
      await openSession(services, context, account);
      return context.json({ account, name: await nameOf(services, account) });
    },
  );

  app.delete(
    '/api/sessions/current',
    describeRoute({ summary: 'Sign out on this device', responses: answers(done) }),
    async (context) => {
      await closeSession(services, context);
      return context.body(null, 204);
    },
  );

  app.delete(
    '/api/sessions',
    describeRoute({ summary: 'Sign out everywhere', responses: answers(done) }),
    async (context) => {
      await database.run('delete from session where account = $1', accountOf(context));
      await closeSession(services, context);
      return context.body(null, 204);
    },
  );

  app.get(
    '/api/self',
    describeRoute({ summary: 'Your account', responses: answers(json(selfAnswer, 'Yours.')) }),
    async (context) => context.json(await selfOf(services, accountOf(context))),
  );

  app.put(
    '/api/self/password',
    describeRoute({
      summary: 'Set or change your password; other devices are signed out',
      responses: answers(done, 'unsound'),
    }),
    atMost(1),
    checked('json', changedPassword),
    async (context) => {
      const account = accountOf(context);
      await setPassword(database, account, context.req.valid('json').password);
      await database.run('delete from session where account = $1', account);
      await openSession(services, context, account);
      return context.body(null, 204);
    },
  );

  app.post(
    '/api/self/passkey-options',
    describeRoute({
      summary: 'What a device needs to make another passkey of yours',
      responses: answers(json(ceremonyAnswer, 'For the Web Authentication API.')),
    }),
    async (context) => {
      const account = accountOf(context);
      return context.json(await offerPasskey(services, await nameOf(services, account), account));
    },
  );

  app.post(
    '/api/self/passkeys',
    describeRoute({
      summary: 'Keep another passkey of yours',
      responses: answers(done, 'wrong-credentials', 'expired', 'already-so', 'unsound'),
    }),
    atMost(1),
    checked('json', passkeySession),
    async (context) => {
      const account = accountOf(context);
      const { ceremony, answer } = context.req.valid('json');
      const passkey: MadePasskey = await madePasskey(services, ceremony, asMade(answer), account);
      await keepPasskey(services, database, account, passkey);
      return context.body(null, 204);
    },
  );

  app.delete(
    '/api/self/passkeys/:id',
    describeRoute({
      summary: 'Forget a passkey of yours',
      responses: answers(done, 'not-here', 'still-needed'),
    }),
    checked('param', z.object({ id: z.string() })),
    async (context) => {
      const account = accountOf(context);
      const { hasPassword, passkeys } = await selfOf(services, account);
      const { id } = context.req.valid('param');
      if (!passkeys.some((one) => one.id === id)) throw new Fault('not-here');
      if (!hasPassword && passkeys.length === 1)
        throw new Fault('still-needed', 'It is the only way into your account: set a password first.');
      await database.run('delete from passkey where id = $1 and account = $2', id, account);
      return context.body(null, 204);
    },
  );

  app.get(
    '/api/self/export',
    describeRoute({
      summary: 'Everything kept about you beside the journals, which /api/journal gives',
      responses: answers(text('application/json', 'One file.')),
    }),
    async (context) => {
      const account = accountOf(context);
      const proposals = await database.all(
        'select tank, id, proposed_by, proposed_at, body, decision, decided_by, decided_at from proposal where proposed_by = $1 or decided_by = $1 order by id',
        account,
      );
      const sessions = await database.all(
        'select created, expires from session where account = $1 order by created',
        account,
      );
      context.header('Content-Disposition', 'attachment; filename="account.json"');
      return context.json({ ...(await selfOf(services, account)), sessions, proposals });
    },
  );

  app.delete(
    '/api/self',
    describeRoute({
      summary: 'Close your account',
      description: `Say your name to confirm. ${STAYS}`,
      responses: answers(json(z.object({ stays: z.string() }), 'It is closed.'), 'still-needed', 'unsound'),
    }),
    atMost(1),
    checked('json', z.object({ name: z.string() })),
    async (context) => {
      const account = accountOf(context);
      if (context.req.valid('json').name !== (await nameOf(services, account)))
        throw new Fault('unsound', 'See errors.', [
          { pointer: '/name', detail: 'Write your name as it is kept here.' },
        ]);
      await database.transaction(async (sql) => {
        await sql.lock('crew');
        const tanks = await leftWithoutKeeper(sql, account);
        if (tanks.length > 0)
          throw new Fault(
            'still-needed',
            `Others have a part in tanks that only you keep: make one of them keeper first, or take their parts away. ${tanks.join(', ')}`,
          );
        await sql.run('delete from calendar where account = $1', account);
        await sql.run('delete from account where id = $1', account);
      });
      await closeSession(services, context);
      return context.json({ stays: STAYS });
    },
  );

  return app;
}

/** These routes are there on a shared server only, where every person has an account. */
export function accountOf(context: Context<Env>): string {
  const { account } = context.get('person');
  if (account === undefined) throw new Error('a person of a shared server has an account');
  return account;
}

async function nameOf({ database }: Services, account: string): Promise<string> {
  return (
    (await first<{ name: string }>(database, 'select name from account where id = $1', account))?.name ?? ''
  );
}

async function selfOf(services: Services, account: string): Promise<z.infer<typeof selfAnswer>> {
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

type DeviceAnswer = z.infer<typeof deviceAnswer>;

/** What else is in a device's answer is judged by the library that verifies it. */
const asMade = (answer: DeviceAnswer) => answer as unknown as RegistrationResponseJSON;
const asSigned = (answer: DeviceAnswer) => answer as unknown as AuthenticationResponseJSON;
