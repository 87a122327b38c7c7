import { instantMs, instantText } from '@brinewright/journal';
import { Hono } from 'hono';
import { describeRoute } from 'hono-openapi';
import * as z from 'zod/mini';
import type { Env } from '../access/person.ts';
import { answers, done, json } from '../http/describe.ts';
import { atMost } from '../http/limits.ts';
import { Fault } from '../http/problem.ts';
import { checked } from '../http/validate.ts';
import { addProbe, probesOf, receive } from '../probes/probe.ts';
import type { Services } from '../services.ts';

const analyte = z.enum(['temperature', 'pH', 'salinity']);
const probeAnswer = z.object({
  id: z.string(),
  name: z.string(),
  analyte,
  /** When it was last heard. */
  heard: z.nullable(z.string()),
  /** What was last written into the journal. */
  written: z.nullable(z.object({ at: z.string(), value: z.number() })),
  /** A change smaller than this is not written, unless nothing was for `longestGapHours`. */
  deadBand: z.number(),
  longestGapHours: z.number(),
  /** Outside these a value is kept apart. */
  low: z.number(),
  high: z.number(),
});
const newProbe = z.object({ name: z.string().check(z.trim(), z.minLength(1), z.maxLength(60)), analyte });
const value = z.object({ at: z.optional(z.iso.datetime({ offset: true })), value: z.number() });
const valuesBody = z.object({ values: z.array(value).check(z.minLength(1), z.maxLength(1000)) });
const sample = z.object({ at: z.string(), value: z.number() });
const receivedAnswer = z.object({
  written: z.array(sample),
  thinned: z.number(),
  aside: z.array(z.object({ at: z.string(), value: z.number(), why: z.string() })),
});
const asideAnswer = z.array(z.object({ at: z.string(), value: z.string(), why: z.string() }));
const idParam = z.object({ id: z.string() });

/** Probes that send by themselves. */
export function probeRoutes(services: Services): Hono<Env> {
  const { database, now } = services;
  const app = new Hono<Env>();

  app.get(
    '/api/tanks/:tank/probes',
    describeRoute({
      summary: 'The probes of a tank',
      responses: answers(json(z.array(probeAnswer), 'Sorted by name.'), 'not-here'),
    }),
    async (context) => {
      const probes = await probesOf(services, context.get('tank'));
      return context.json(
        probes.map(({ id, name, analyte, settings, state }) => ({
          id,
          name,
          analyte,
          heard: state.heard === null ? null : instantText(state.heard),
          written: state.written && { ...state.written, at: instantText(state.written.at) },
          deadBand: settings.deadBand,
          longestGapHours: settings.longestGap / 3_600_000,
          low: settings.low,
          high: settings.high,
        })),
      );
    },
  );

  app.post(
    '/api/tanks/:tank/probes',
    describeRoute({
      summary: 'Add a probe to a tank',
      description:
        'It sends with the token, which is shown this once. Values are °C, pH or practical salinity.',
      responses: answers(
        json(z.object({ id: z.string(), token: z.string() }), 'Give the token to the probe.'),
        'not-here',
        'not-allowed',
        'unsound',
      ),
    }),
    atMost(1),
    checked('json', newProbe),
    async (context) => {
      const { name, analyte } = context.req.valid('json');
      const tank = context.get('tank');
      const { probe, secret } = await addProbe(services, tank, name, analyte);
      return context.json({ id: probe.id, token: secret });
    },
  );

  app.delete(
    '/api/tanks/:tank/probes/:id',
    describeRoute({
      summary: 'Take a probe away; what it wrote stays',
      responses: answers(done, 'not-here', 'not-allowed'),
    }),
    checked('param', idParam),
    async (context) => {
      const tank = context.get('tank');
      const { id } = context.req.valid('param');
      const gone = await database.run('delete from probe where tank = $1 and id = $2', tank, id);
      if (gone === 0) throw new Fault('not-here');
      return context.body(null, 204);
    },
  );

  app.get(
    '/api/tanks/:tank/probes/:id/aside',
    describeRoute({
      summary: 'Values of a probe that were not believed, newest first',
      responses: answers(json(asideAnswer, 'With the reason of each.'), 'not-here'),
    }),
    checked('param', idParam),
    async (context) => {
      const tank = context.get('tank');
      const { id } = context.req.valid('param');
      const rows = await database.all<{ at: number; value: string; why: string }>(
        'select at, value, why from probe_aside where tank = $1 and probe = $2 order by at desc, why',
        tank,
        id,
      );
      return context.json(rows.map((row) => ({ ...row, at: instantText(row.at) })));
    },
  );

  app.post(
    '/api/probe-values',
    describeRoute({
      summary: 'Send values of a probe',
      description: 'In the order they were taken. Without `at` a value is taken to be of now.',
      responses: answers(
        json(receivedAnswer, 'What was written, what said nothing new, and what was not believed.'),
        'wrong-credentials',
        'unsound',
      ),
    }),
    atMost(1),
    checked('json', valuesBody),
    async (context) => {
      const token = /^Bearer ([\w-]+)$/.exec(context.req.header('Authorization') ?? '')?.[1];
      if (token === undefined) throw new Fault('wrong-credentials', 'Send the token of the probe as bearer.');
      const { values } = context.req.valid('json');
      const samples = values.map(({ at, value }) => ({ at: instantMs(at ?? '') ?? now(), value }));
      const { written, thinned, aside } = await receive(services, token, samples);
      const said = <T extends { at: number }>(list: readonly T[]) =>
        list.map((one) => ({ ...one, at: instantText(one.at) }));
      return context.json({ written: said(written), thinned, aside: said(aside) });
    },
  );

  return app;
}
