import { type Context, Hono } from 'hono';
import { describeRoute } from 'hono-openapi';
import * as z from 'zod/mini';
import type { Env } from '../access/person.ts';
import { type Account, createAccount } from '../crew/accounts.ts';
import { asMade, ceremonyAnswer, deviceAnswer } from '../crew/device-answers.ts';
import { lookAt, takeUp } from '../crew/invitations.ts';
import { keepPasskey, madePasskey, offerPasskey } from '../crew/passkeys.ts';
import { newPassword, setPassword } from '../crew/passwords.ts';
import { accountAnswer, accountOf } from '../crew/self.ts';
import { openSession } from '../crew/sessions.ts';
import type { Slowly } from '../crew/slow-guesses.ts';
import { answers, done, json } from '../http/describe.ts';
import { atMost } from '../http/limits.ts';
import { checked } from '../http/validate.ts';
import type { Services } from '../services.ts';

const name = z.string().check(z.trim(), z.minLength(1), z.maxLength(60));
const secretParam = z.object({ secret: z.string().check(z.maxLength(100)) });
const invitationAnswer = z.object({
  tank: z.nullable(z.string()),
  role: z.enum(['keeper', 'mentor', 'reader']),
  expires: z.string(),
});
const passwordAccount = z.object({ name, password: newPassword });
const passkeyAccount = z.object({ name, ceremony: z.string(), answer: deviceAnswer });

/** Coming in by an invitation. */
export function invitationRoutes(services: Services, slowly: Slowly): Hono<Env> {
  const { database } = services;
  const app = new Hono<Env>();

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
      await slowly(context);
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
      await slowly(context);
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
      await slowly(context);
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
      await slowly(context);
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
      await slowly(context);
      const { secret } = context.req.valid('param');
      await database.transaction(async (sql) => {
        await sql.lock('crew');
        await takeUp(services, sql, secret, accountOf(context));
      });
      return context.body(null, 204);
    },
  );

  return app;
}
