import type { TankId } from '@brinewright/journal';
import { Hono } from 'hono';
import { describeRoute } from 'hono-openapi';
import * as z from 'zod/mini';
import type { Env } from '../access/person.ts';
import { answers, done, json, tankParam } from '../http/describe.ts';
import { atMost } from '../http/limits.ts';
import { Fault } from '../http/problem.ts';
import { checked } from '../http/validate.ts';
import { subscribe, subscriptionBody, unsubscribe } from '../push/subscriptions.ts';
import { isZone, minuteOf, quietHoursOf, setQuietHours, timeOf } from '../reminders/quiet.ts';
import type { Services } from '../services.ts';

const keyAnswer = z.object({ publicKey: z.string() });
const endpointBody = z.object({ endpoint: z.string().check(z.maxLength(1000)) });
const time = z.string().check(z.regex(/^([01]\d|2[0-3]):[0-5]\d$/, 'Write a time of day as 21:30.'));
const quietBody = z.object({
  zone: z.string().check(z.refine(isZone, 'Name a time zone such as Europe/Lisbon.')),
  from: time,
  until: time,
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
      await subscribe(services, context.get('person'), context.req.valid('json'));
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
    '/api/tanks/:tank/quiet-hours',
    describeRoute({
      summary: 'When nobody is reminded of a tank, unless something cannot wait',
      responses: answers(json(quietBody, 'By the clock where the tank stands.'), 'not-here'),
    }),
    checked('param', tankParam),
    async (context) => {
      const { zone, from, until } = await quietHoursOf(services, context.req.valid('param').tank as TankId);
      return context.json({ zone, from: timeOf(from), until: timeOf(until) });
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
    checked('param', tankParam),
    checked('json', quietBody),
    async (context) => {
      const { zone, from, until } = context.req.valid('json');
      const hours = { zone, from: minuteOf(from), until: minuteOf(until) };
      await setQuietHours(services, context.req.valid('param').tank as TankId, hours);
      return context.body(null, 204);
    },
  );

  return app;
}
