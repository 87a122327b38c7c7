import { Hono } from 'hono';
import { describeRoute } from 'hono-openapi';
import * as z from 'zod/mini';
import type { Env } from '../access/person.ts';
import { leftWithoutKeeper } from '../crew/accounts.ts';
import { asMade, ceremonyAnswer, ceremonyBody } from '../crew/device-answers.ts';
import { keepPasskey, madePasskey, offerPasskey } from '../crew/passkeys.ts';
import { newPassword, setPassword } from '../crew/passwords.ts';
import { aboutSelf, accountOf, nameOf, selfAnswer, selfOf } from '../crew/self.ts';
import { closeSession, renewAlone } from '../crew/sessions.ts';
import { answers, done, json, text } from '../http/describe.ts';
import { atMost } from '../http/limits.ts';
import { Fault } from '../http/problem.ts';
import { checked } from '../http/validate.ts';
import type { Services } from '../services.ts';

const changedPassword = z.object({ password: newPassword });

/** What is told when an account is closed. */
const STAYS =
  'Your name, password, passkeys, sessions and parts in tanks are gone. Entries and decisions you wrote stay in the ' +
  'journals of their tanks, under an id that no longer leads to you.';

/** Someone's own account. */
export function selfRoutes(services: Services): Hono<Env> {
  const { database } = services;
  const app = new Hono<Env>();

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
      await renewAlone(services, context, account);
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
    checked('json', ceremonyBody),
    async (context) => {
      const account = accountOf(context);
      const { ceremony, answer } = context.req.valid('json');
      const passkey = await madePasskey(services, ceremony, asMade(answer), account);
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
      context.header('Content-Disposition', 'attachment; filename="account.json"');
      return context.json(await aboutSelf(services, accountOf(context)));
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
        for (const table of ['calendar', 'push_subscription', 'reminded', 'own_quiet_hours', 'export'])
          await sql.run(`delete from ${table} where account = $1`, account);
        await sql.run('delete from account where id = $1', account);
      });
      await closeSession(services, context);
      return context.json({ stays: STAYS });
    },
  );

  return app;
}
