import { Hono } from 'hono';
import { describeRoute } from 'hono-openapi';
import * as z from 'zod/mini';
import type { Env } from '../access/person.ts';
import { asSigned, ceremonyAnswer, ceremonyBody } from '../crew/device-answers.ts';
import { accountByPasskey, askForPasskey } from '../crew/passkeys.ts';
import { accountByPassword } from '../crew/passwords.ts';
import { accountAnswer, accountOf, nameOf } from '../crew/self.ts';
import {
  closeSession,
  endOthers,
  endSession,
  openSession,
  sessionList,
  sessionOf,
  sessionsOf,
} from '../crew/sessions.ts';
import type { Slowly } from '../crew/slow-guesses.ts';
import { answers, done, json } from '../http/describe.ts';
import { atMost } from '../http/limits.ts';
import { Fault } from '../http/problem.ts';
import { checked } from '../http/validate.ts';
import type { Services } from '../services.ts';

const passwordSession = z.object({
  name: z.string().check(z.maxLength(200)),
  password: z.string().check(z.maxLength(1000)),
});

/** Signing in and out, and where one is signed in. */
export function sessionRoutes(services: Services, slowly: Slowly): Hono<Env> {
  const { database } = services;
  const app = new Hono<Env>();

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
      await slowly(context, name);
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
      await slowly(context);
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
    checked('json', ceremonyBody),
    async (context) => {
      await slowly(context);
      const { ceremony, answer } = context.req.valid('json');
      const account = await accountByPasskey(services, ceremony, asSigned(answer));
      await openSession(services, context, account);
      return context.json({ account, name: await nameOf(services, account) });
    },
  );

  app.get(
    '/api/sessions',
    describeRoute({
      summary: 'Where you are signed in',
      description:
        'Neither addresses nor names of devices are kept, only what kind of device it called itself.',
      responses: answers(json(sessionList, 'Last used first.')),
    }),
    async (context) => context.json(await sessionsOf(services, accountOf(context), sessionOf(context))),
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
    '/api/sessions/others',
    describeRoute({
      summary: 'Sign out everywhere but here',
      description: 'Browsers that were told what is due in those sessions are told no more.',
      responses: answers(done),
    }),
    async (context) => {
      await endOthers(services, accountOf(context), sessionOf(context) ?? '');
      return context.body(null, 204);
    },
  );

  app.delete(
    '/api/sessions/:id',
    describeRoute({
      summary: 'Sign out one of your devices',
      description: 'A browser that was told what is due in that session is told no more.',
      responses: answers(done, 'not-here'),
    }),
    checked('param', z.object({ id: z.string() })),
    async (context) => {
      if (!(await endSession(services, accountOf(context), context.req.valid('param').id)))
        throw new Fault('not-here');
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

  return app;
}
