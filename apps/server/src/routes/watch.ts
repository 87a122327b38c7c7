import { Hono } from 'hono';
import { describeRoute } from 'hono-openapi';
import * as z from 'zod/mini';
import type { Env } from '../access/person.ts';
import { answers, json, text } from '../http/describe.ts';
import type { Services } from '../services.ts';

const healthAnswer = z.object({ health: z.literal('well') });

/** For whoever looks after the machine. */
export function watchRoutes({ database, metrics }: Services): Hono<Env> {
  const app = new Hono<Env>();

  app.get(
    '/health',
    describeRoute({
      summary: 'Whether the server and its database answer',
      responses: answers(json(healthAnswer, 'Both do.'), 'broken'),
    }),
    async (context) => {
      await database.all('select 1 as one');
      return context.json({ health: 'well' as const }, 200, { 'Cache-Control': 'no-store' });
    },
  );

  app.get(
    '/metrics',
    describeRoute({
      summary: 'Counts and times of this process',
      description:
        'Prometheus text format. On a shared server it needs the bearer token that was configured for it.',
      responses: answers(text('text/plain', 'One measurement a line.'), 'not-here'),
    }),
    (context) =>
      context.body(metrics.text(), 200, {
        'Content-Type': 'text/plain; version=0.0.4; charset=utf-8',
        'Cache-Control': 'no-store',
      }),
  );

  return app;
}
