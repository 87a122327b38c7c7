import { type Context, Hono } from 'hono';
import { stream } from 'hono/streaming';
import { describeRoute } from 'hono-openapi';
import * as z from 'zod/mini';
import type { Env } from '../access/person.ts';
import { askForExport, type Export, exportOf, exportsOf, partsOf } from '../exports/exports.ts';
import { dropExport } from '../exports/make.ts';
import { answers, done, json, text } from '../http/describe.ts';
import { Fault } from '../http/problem.ts';
import { checked } from '../http/validate.ts';
import type { Services } from '../services.ts';

const exportAnswer = z.object({
  id: z.string(),
  asked: z.string(),
  /** Then it is removed. */
  expires: z.string(),
  state: z.enum(['waiting', 'ready']),
  /** Of the file, once it is ready. */
  bytes: z.number(),
});
const idParam = z.object({ id: z.string() });

/** Everything a person wrote, made into one file while they need not wait. */
export function exportRoutes(services: Services): Hono<Env> {
  const app = new Hono<Env>();
  const own = (context: Context<Env>): string => context.get('person').account ?? '';

  app.get(
    '/api/exports',
    describeRoute({
      summary: 'The files you asked for that are still kept',
      responses: answers(json(z.array(exportAnswer), 'Newest first.')),
    }),
    async (context) => context.json((await exportsOf(services, own(context))).map(said)),
  );

  app.post(
    '/api/exports',
    describeRoute({
      summary: 'Have everything you wrote made into one file',
      description:
        'A zip with `journal.ndjson` (every entry of your tanks, and yours elsewhere) and, on a shared server, ' +
        '`account.json`. Kept for two days; asking again replaces a file that is ready.',
      responses: answers(json(exportAnswer, 'Ask for it until it is ready.')),
    }),
    async (context) => context.json(said(await askForExport(services, own(context)))),
  );

  app.get(
    '/api/exports/:id',
    describeRoute({
      summary: 'Whether a file is ready',
      responses: answers(json(exportAnswer, 'Yours.'), 'not-here'),
    }),
    checked('param', idParam),
    async (context) =>
      context.json(said(await exportOf(services, own(context), context.req.valid('param').id))),
  );

  app.get(
    '/api/exports/:id/file',
    describeRoute({
      summary: 'A file that is ready',
      responses: answers(text('application/zip', 'One zip file.'), 'not-here'),
    }),
    checked('param', idParam),
    async (context) => {
      const { id, state, bytes, asked } = await exportOf(
        services,
        own(context),
        context.req.valid('param').id,
      );
      if (state !== 'ready') throw new Fault('not-here', 'It is still being made: ask again in a while.');
      const day = new Date(asked).toISOString().slice(0, 10);
      context.header('Content-Type', 'application/zip');
      context.header('Content-Length', String(bytes));
      context.header('Content-Disposition', `attachment; filename="brinewright-${day}.zip"`);
      context.header('Cache-Control', 'private, no-store');
      return stream(context, async (out) => {
        for await (const part of partsOf(services, id)) await out.write(part);
      });
    },
  );

  app.delete(
    '/api/exports/:id',
    describeRoute({ summary: 'Remove a file', responses: answers(done, 'not-here') }),
    checked('param', idParam),
    async (context) => {
      const { id } = await exportOf(services, own(context), context.req.valid('param').id);
      await dropExport(services, id);
      return context.body(null, 204);
    },
  );

  return app;
}

const said = ({ asked, expires, ...rest }: Export): z.infer<typeof exportAnswer> => ({
  ...rest,
  asked: new Date(asked).toISOString(),
  expires: new Date(expires).toISOString(),
});
