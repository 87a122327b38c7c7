import { Hono } from 'hono';
import { describeRoute } from 'hono-openapi';
import * as z from 'zod/mini';
import type { Env } from '../access/person.ts';
import { sessionOf } from '../crew/sessions.ts';
import { answers, done, json } from '../http/describe.ts';
import { atMost } from '../http/limits.ts';
import { Fault } from '../http/problem.ts';
import { checked } from '../http/validate.ts';
import { keyOf, subscribe, subscriptionBody, subscriptionsOf, unsubscribe } from '../push/subscriptions.ts';
import {
  isZone,
  minuteOf,
  ownQuietHours,
  type QuietHours,
  quietHoursOf,
  setOwnQuietHours,
  setQuietHours,
  timeOf,
} from '../reminders/quiet.ts';
import type { Services } from '../services.ts';

const keyAnswer = z.object({ publicKey: z.string() });
const endpointBody = z.object({ endpoint: z.string().check(z.maxLength(1000)) });
const time = z.string().check(z.regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'Write a time of day as 21:30.'));
const quietBody = z.object({
  zone: z.string().check(z.refine(isZone, 'Name a time zone such as Europe/Lisbon.')),
  from: time,
  until: time,
});

type QuietBody = z.infer<typeof quietBody>;

const bodyOf = ({ zone, from, until }: QuietHours): QuietBody => ({
  zone,
  from: timeOf(from),
  until: timeOf(until),
});
const hoursOf = ({ zone, from, until }: QuietBody): QuietHours => ({
  zone,
  from: minuteOf(from),
  until: minuteOf(until),
});

/** Reminders on people's devices, and when there are to be none. */
export function pushRoutes(services: Services): Hono<Env> {
  const app = new Hono<Env>();

  app.get(
    '/api/push/key',
    describeRoute({
      summary: 'The public key a browser needs to subscribe to reminders',
      description: 'Answered with 404 where this server sends none.',
      responses: answers(json(keyAnswer, 'For `applicationServerKey`.'), 'not-here'),
    }),
    (context) => {
      if (services.push === undefined) throw new Fault('not-here', 'This server sends no reminders.');
      return context.json({ publicKey: services.push.publicKey });
    },
  );

  app.get(
    '/api/push/subscriptions',
    describeRoute({
      summary: 'The browsers of yours that are told what is due',
      responses: answers(json(z.array(endpointBody), 'By the address their push services gave them.')),
    }),
    async (context) => {
      const told = await subscriptionsOf(services, keyOf(context.get('person')));
      return context.json(told.map(({ endpoint }) => ({ endpoint })));
    },
  );

  app.put(
    '/api/push/subscriptions',
    describeRoute({
      summary: 'Have this browser told what is due on your tanks',
      description:
        'Send the `PushSubscription` as the browser writes it. What is sent holds the name of a tank and one order.',
      responses: answers(done, 'not-here', 'unsound'),
    }),
    atMost(1),
    checked('json', subscriptionBody),
    async (context) => {
      if (services.push === undefined) throw new Fault('not-here', 'This server sends no reminders.');
      const person = context.get('person');
      const session = person.account === undefined ? undefined : sessionOf(context);
      await subscribe(services, person, session, context.req.valid('json'));
      return context.body(null, 204);
    },
  );

  app.delete(
    '/api/push/subscriptions',
    describeRoute({ summary: 'Tell this browser nothing more', responses: answers(done, 'unsound') }),
    atMost(1),
    checked('json', endpointBody),
    async (context) => {
      await unsubscribe(services, context.get('person'), context.req.valid('json').endpoint);
      return context.body(null, 204);
    },
  );

  app.get(
    '/api/push/quiet-hours',
    describeRoute({
      summary: 'Your own quiet hours, if any',
      responses: answers(json(z.nullable(quietBody), 'Null: those of each tank count.')),
    }),
    async (context) => {
      const hours = await ownQuietHours(services, keyOf(context.get('person')));
      return context.json(hours === undefined ? null : bodyOf(hours));
    },
  );

  app.put(
    '/api/push/quiet-hours',
    describeRoute({
      summary: 'Say when you are not to be reminded, unless something cannot wait',
      description: 'They go before the quiet hours of any tank. The same time twice: never quiet.',
      responses: answers(done, 'unsound'),
    }),
    atMost(1),
    checked('json', quietBody),
    async (context) => {
      const hours = hoursOf(context.req.valid('json'));
      await setOwnQuietHours(services, keyOf(context.get('person')), hours);
      return context.body(null, 204);
    },
  );

  app.delete(
    '/api/push/quiet-hours',
    describeRoute({ summary: 'Go by the quiet hours of each tank again', responses: answers(done) }),
    async (context) => {
      await services.database.run(
        'delete from own_quiet_hours where account = $1',
        keyOf(context.get('person')),
      );
      return context.body(null, 204);
    },
  );

  app.get(
    '/api/tanks/:tank/quiet-hours',
    describeRoute({
      summary: 'When nobody is reminded of a tank, unless something cannot wait',
      responses: answers(json(quietBody, 'By the clock where the tank stands.'), 'not-here'),
    }),
    async (context) => {
      const hours = await quietHoursOf(services, context.get('tank'));
      return context.json(bodyOf(hours));
    },
  );

  app.put(
    '/api/tanks/:tank/quiet-hours',
    describeRoute({
      summary: 'Say when nobody is to be reminded of a tank',
      description: 'The same time twice: there are no quiet hours.',
      responses: answers(done, 'not-here', 'not-allowed', 'unsound'),
    }),
    atMost(1),
    checked('json', quietBody),
    async (context) => {
      const hours = hoursOf(context.req.valid('json'));
      await setQuietHours(services, context.get('tank'), hours);
      return context.body(null, 204);
    },
  );

  return app;
}
