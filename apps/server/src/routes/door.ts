import { Hono } from 'hono';
import { describeRoute } from 'hono-openapi';
import type { Env } from '../access/person.ts';
import { lookAt } from '../crew/invitations.ts';
import { personOfSession } from '../crew/sessions.ts';
import { endedPage, joinPage, signInPage } from '../door/pages.ts';
import { doorScript } from '../door/script.ts';
import { answers, text } from '../http/describe.ts';
import { Fault } from '../http/problem.ts';
import type { Services } from '../services.ts';

const PAGE = {
  'Content-Security-Policy':
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; frame-ancestors 'none'; " +
    "base-uri 'none'; form-action 'none'",
  'Cache-Control': 'no-store',
};

/** The pages where people come in. */
export function doorRoutes(services: Services): Hono<Env> {
  const app = new Hono<Env>();

  app.get(
    '/sign-in',
    describeRoute({ summary: 'The page to sign in on', responses: answers(text('text/html', 'One page.')) }),
    (context) => context.html(signInPage(), 200, PAGE),
  );

  app.get(
    '/join/:secret',
    describeRoute({
      summary: 'The page an invitation leads to',
      responses: answers(text('text/html', 'One page.'), 'expired'),
    }),
    async (context) => {
      const secret = context.req.param('secret');
      try {
        const { tank, role, expires } = await lookAt(services, secret);
        const signedIn = (await personOfSession(services, context)) !== undefined;
        const offer = { secret, role, founding: tank === null, signedIn, expires: sayInstant(expires) };
        return context.html(joinPage(offer), 200, PAGE);
      } catch (error) {
        if (!(error instanceof Fault)) throw error;
        return context.html(endedPage(), 410, PAGE);
      }
    },
  );

  app.get(
    '/door.js',
    describeRoute({
      summary: 'What the pages to come in by do',
      responses: answers(text('text/javascript', 'A script.')),
    }),
    (context) =>
      context.body(doorScript, 200, {
        'Content-Type': 'text/javascript; charset=utf-8',
        'Cache-Control': 'no-cache',
      }),
  );

  return app;
}

const sayInstant = (epochMs: number): string =>
  `${new Intl.DateTimeFormat('en-GB', { dateStyle: 'long', timeStyle: 'short', timeZone: 'UTC' }).format(epochMs)} UTC`;
