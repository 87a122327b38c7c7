import { Hono } from 'hono';
import { describeRoute } from 'hono-openapi';
import * as z from 'zod/mini';
import type { Env } from '../access/person.ts';
import { personOfSession } from '../crew/sessions.ts';
import { answers, json } from '../http/describe.ts';
import type { Services } from '../services.ts';
import { first } from '../sql/database.ts';

const hereAnswer = z.object({
  shared: z.boolean(),
  /** Null where nobody is signed in, and on a server for one person. */
  person: z.nullable(z.object({ account: z.string(), name: z.string() })),
});

/** What kind of server this is, for pages that find out where they are. */
export function hereRoutes(services: Services): Hono<Env> {
  const { database, mode } = services;
  return new Hono<Env>().get(
    '/api/here',
    describeRoute({
      summary: 'Whether this server is shared, and who is signed in',
      responses: answers(json(hereAnswer, 'A Brinewright server answers so.')),
    }),
    async (context) => {
      const session = mode.shared ? await personOfSession(services, context) : undefined;
      const person = await first<{ account: string; name: string }>(
        database,
        'select id as account, name from account where id = $1',
        session?.account ?? '',
      );
      const answer: z.infer<typeof hereAnswer> = { shared: mode.shared, person: person ?? null };
      return context.json(answer, 200, { 'Cache-Control': 'no-store' });
    },
  );
}
