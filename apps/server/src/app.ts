import { Hono } from 'hono';
import { compress } from 'hono/compress';
import { en } from 'zod/locales';
import * as z from 'zod/mini';
import { enforce } from './access/enforce.ts';
import { closedAnswers, onlyOurPages } from './access/guards.ts';
import type { Env } from './access/person.ts';
import { callerAddress } from './http/limits.ts';
import { errorFields } from './http/log.ts';
import { measure } from './http/measure.ts';
import { Fault, faultOf, problemResponse } from './http/problem.ts';
import { allowances } from './http/shared-limits.ts';
import { openApiRoutes } from './openapi.ts';
import { pages } from './pages.ts';
import { routes } from './routes/all.ts';
import type { Services } from './services.ts';
import type { Site } from './site.ts';

z.config(en());

/** For one caller: enough for a device that catches up on a year, too little to crowd out others. */
const CALLER = { burst: 400, perSecond: 50 };

/** The whole server as one function from request to answer. `site`: the built pages, where they are served too. */
export function serverApp(services: Services, site?: Site): Hono<Env> {
  const { mode, log } = services;
  const app = new Hono<Env>();
  const allow = allowances(services, 'caller', CALLER, CALLER.burst / 10);

  app.onError((error, context) => {
    const fault = faultOf(error);
    if (fault.kind === 'broken') log('broken', errorFields(error));
    const response = problemResponse(fault);
    for (const [name, value] of response.headers) context.header(name, value);
    return context.newResponse(response.body, response.status as 500);
  });
  app.notFound(() => problemResponse(new Fault('not-here')));

  app.use('*', measure(services), closedAnswers, onlyOurPages(mode));
  if (mode.shared)
    app.use('/api/*', async (context, next) => {
      await allow(callerAddress(context, mode.behindProxy));
      await next();
    });
  app.use('*', enforce(services));
  // What is handed over is answered with ids, which do not compress.
  const squeeze = compress();
  app.use('/api/*', (context, next) => (context.req.method === 'GET' ? squeeze(context, next) : next()));
  app.route('/', routes(services));
  app.route('/', openApiRoutes());
  app.all('/api/*', () => problemResponse(new Fault('not-here')));
  if (site !== undefined) app.route('/', pages(site));
  return app;
}
