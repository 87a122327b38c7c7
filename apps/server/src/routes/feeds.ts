import { Hono } from 'hono';
import { describeRoute } from 'hono-openapi';
import * as z from 'zod/mini';
import type { Env } from '../access/person.ts';
import { digestOf, newSecret } from '../crew/secret.ts';
import { calendarOf } from '../feeds/calendar.ts';
import { digestPage } from '../feeds/digest.ts';
import { dueFor } from '../feeds/due.ts';
import { plainStyle } from '../feeds/plain-style.ts';
import { answers, done, json, text } from '../http/describe.ts';
import { Fault } from '../http/problem.ts';
import { isHeld, tagOf } from '../http/tag.ts';
import { checked } from '../http/validate.ts';
import { isZone } from '../reminders/quiet.ts';
import type { Services } from '../services.ts';
import { first } from '../sql/database.ts';

const digestQuery = z.object({
  zone: z.optional(z.string().check(z.refine(isZone, 'Name a time zone such as Europe/Lisbon.'))),
});

/** Pages the server writes itself may load their one style and nothing else. */
const PAGE = {
  'Content-Security-Policy':
    "default-src 'none'; style-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'",
  'Cache-Control': 'private, no-cache',
};

/** What is due, for calendars and walls. */
export function feedRoutes(services: Services): Hono<Env> {
  const { database, mode, now, random } = services;
  const app = new Hono<Env>();
  const keyOf = (account: string | undefined): string => account ?? '';

  app.post(
    '/api/calendar',
    describeRoute({
      summary: 'A secret address under which a calendar finds what is due on your tanks',
      description: 'Whoever has the address reads it without signing in. A new one ends the one before.',
      responses: answers(json(z.object({ address: z.string() }), 'Shown this once.')),
    }),
    async (context) => {
      const secret = newSecret(random);
      await database.run(
        `insert into calendar (account, secret, created) values ($1, $2, $3)
         on conflict (account) do update set secret = excluded.secret, created = excluded.created`,
        keyOf(context.get('person').account),
        digestOf(secret),
        now(),
      );
      const origin = mode.shared ? mode.origin : new URL(context.req.url).origin;
      return context.json({ address: `${origin}/calendar/${secret}` });
    },
  );

  app.delete(
    '/api/calendar',
    describeRoute({ summary: 'End the secret address of your calendar', responses: answers(done) }),
    async (context) => {
      await database.run('delete from calendar where account = $1', keyOf(context.get('person').account));
      return context.body(null, 204);
    },
  );

  app.get(
    '/calendar/:secret',
    describeRoute({
      summary: 'What is due, as a calendar (RFC 5545)',
      responses: answers(text('text/calendar', 'The same orders give the same bytes.'), 'not-here'),
    }),
    async (context) => {
      const kept = await first<{ account: string }>(
        database,
        'select account from calendar where secret = $1',
        digestOf(context.req.param('secret')),
      );
      if (kept === undefined) throw new Fault('not-here');
      const account = kept.account === '' ? undefined : kept.account;
      // A server that was for one and is now shared has no such person any more.
      if (mode.shared !== (account !== undefined)) throw new Fault('not-here');
      const calendar = calendarOf(await dueFor(services, { account }));
      const headers = {
        'Content-Type': 'text/calendar; charset=utf-8',
        'Cache-Control': 'private, no-cache',
        ETag: tagOf(calendar),
      };
      return isHeld(context, headers.ETag)
        ? context.body(null, 304, headers)
        : context.body(calendar, 200, headers);
    },
  );

  app.get(
    '/digest',
    describeRoute({
      summary: 'What is due today, as a page to read or print',
      responses: answers(text('text/html', 'One page.'), 'unsound'),
    }),
    checked('query', digestQuery),
    async (context) => {
      const { zone = 'UTC' } = context.req.valid('query');
      const page = digestPage(await dueFor(services, context.get('person')), now(), zone);
      return context.html(await page, 200, PAGE);
    },
  );

  app.get(
    '/plain.css',
    describeRoute({
      summary: 'The look of the pages the server writes itself',
      responses: answers(text('text/css', 'A style sheet.')),
    }),
    (context) =>
      context.body(plainStyle, 200, {
        'Content-Type': 'text/css; charset=utf-8',
        'Cache-Control': 'public, max-age=3600',
      }),
  );

  return app;
}
