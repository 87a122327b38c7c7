import { checkEntry, type Entry, envelope, lineOf, START, type TankId } from '@brinewright/journal';
import { Hono } from 'hono';
import { describeRoute, resolver } from 'hono-openapi';
import * as z from 'zod/mini';
import type { Env, Person } from '../access/person.ts';
import { mustHaveHead, placeOf, placeText } from '../entries/heads.ts';
import { keepEntries, mayWrite } from '../entries/keep.ts';
import { answers, json } from '../http/describe.ts';
import { atMost } from '../http/limits.ts';
import { Fault, type PlacedFault, placedProblem } from '../http/problem.ts';
import { taggedJson, tagOf } from '../http/tag.ts';
import { checked } from '../http/validate.ts';
import type { Services } from '../services.ts';
import { first } from '../sql/database.ts';

const MOST_PUSHED = 1000;
const MOST_PULLED = 1000;
const USUAL_PAGE = 250;

const pushBody = z.object({ entries: z.array(envelope).check(z.maxLength(MOST_PUSHED)) });
const pushAnswer = z.object({
  added: z.array(z.string()),
  known: z.array(z.string()),
  clashes: z.array(z.string()),
});
const pullQuery = z.object({
  after: z.optional(z.string()),
  limit: z.optional(z.coerce.number().check(z.int(), z.gte(1), z.lte(MOST_PULLED))),
});
const pullAnswer = z.object({
  entries: z.array(envelope),
  place: z.nullable(z.string()),
  more: z.boolean(),
});
const lackingBody = z.object({ ids: z.array(envelope.shape.id).check(z.maxLength(MOST_PUSHED)) });
const lackingAnswer = z.object({ lacking: z.array(z.string()) });

/** Entries of one tank, in and out: the server's side of a synchronisation. */
export function entryRoutes(services: Services): Hono<Env> {
  const { store, database } = services;
  const app = new Hono<Env>();

  app.get(
    '/api/tanks/:tank/entries',
    describeRoute({
      summary: 'Entries of a tank that arrived after a place',
      description:
        'Ask again with `after` set to the `place` of the last answer. Answered with 410 where the place is not one ' +
        'of this journal (it was restored from an older copy): then begin from the start, and offer what you have.',
      responses: answers(json(pullAnswer, 'In order of arrival.'), 'not-here', 'place-unknown', 'unsound'),
    }),
    checked('query', pullQuery),
    async (context) => {
      const tank = context.get('tank');
      const { after, limit = USUAL_PAGE } = context.req.valid('query');
      const head = await mustHaveHead(database, tank);
      const since = after === undefined ? START : await knownCursor(services, tank, after);
      const tag = tagOf(placeText(head), String(after), limit);
      if (since === head.cursor) return taggedJson(context, tag, pageText([], after ?? null, false));
      const page = await store.read({ tank, since, limit });
      const last = page.entries.at(-1);
      const place = last === undefined ? (after ?? null) : placeText({ cursor: page.cursor, last: last.id });
      return taggedJson(context, tag, pageText(page.entries, place, page.more));
    },
  );

  app.post(
    '/api/tanks/:tank/lacking',
    describeRoute({
      summary: 'Which of these ids are not kept yet',
      requestBody: { required: true, content: { 'application/json': { schema: resolver(lackingBody) } } },
      responses: answers(json(lackingAnswer, 'In the order asked.'), 'not-here', 'unsound'),
    }),
    atMost(1),
    checked('json', lackingBody),
    async (context) => {
      const tank = context.get('tank');
      const lacking = await store.lacking(tank, context.req.valid('json').ids);
      return context.json({ lacking: [...lacking] });
    },
  );

  app.post(
    '/api/tanks/:tank/entries',
    describeRoute({
      summary: 'Hand over entries of a tank',
      description:
        `At most ${MOST_PUSHED} at once. What is answered as added or known is on the disk. Handing over the same ` +
        'entries again changes nothing. Where any entry is not sound, none is kept, and `errors` names each place.',
      requestBody: { required: true, content: { 'application/json': { schema: resolver(pushBody) } } },
      responses: answers(
        json(pushAnswer, 'What became of each entry.'),
        'not-here',
        'not-allowed',
        'too-large',
        'unsound',
      ),
    }),
    atMost(4),
    async (context) => {
      const tank = context.get('tank');
      const entries = soundEntries(jsonOf(await context.req.text()), tank);
      const person = context.get('person');
      await ownNameOnly(services, person, entries);
      const claims = entries.length > 0 && context.get('role') === undefined;
      if (claims && !(await mayWrite(services, person, tank))) throw new Fault('not-here');
      return context.json(await keepEntries(services, entries));
    },
  );

  return app;
}

const pageText = (entries: readonly Entry[], place: string | null, more: boolean): string =>
  `{"entries":[${entries.map(lineOf).join(',')}],"place":${JSON.stringify(place)},"more":${more}}`;

/** The cursor of a place of this journal. */
async function knownCursor({ database }: Services, tank: TankId, text: string) {
  const place = placeOf(text);
  if (place === undefined)
    throw new Fault('unsound', 'See errors.', [
      { pointer: 'query:/after', detail: 'Give the place of an earlier answer, unchanged.' },
    ]);
  const kept = await first<{ id: string }>(
    database,
    'select id from entry where tank = $1 and place = $2',
    tank,
    place.cursor,
  );
  if (kept?.id !== place.last)
    throw new Fault('place-unknown', 'Begin from the start, and offer every entry you have.');
  return place.cursor;
}

function jsonOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    throw new Fault('not-json', 'Send one JSON object with its entries.');
  }
}

/** The entries of a request. @throws Fault that names every place at fault */
function soundEntries(body: unknown, tank: TankId): readonly Entry[] {
  const given =
    typeof body === 'object' && body !== null ? (body as Record<string, unknown>).entries : undefined;
  if (!Array.isArray(given))
    throw new Fault('unsound', 'See errors.', [
      { pointer: '/entries', detail: 'A list of entries is needed.' },
    ]);
  if (given.length > MOST_PUSHED)
    throw new Fault('too-large', `At most ${MOST_PUSHED} entries are taken at once; found ${given.length}.`);
  const errors: PlacedFault[] = [];
  const entries: Entry[] = [];
  for (const [index, data] of given.entries()) {
    const checkedEntry = checkEntry(data);
    if (!checkedEntry.ok)
      errors.push(...checkedEntry.problems.map((one) => placedProblem(one, `/entries/${index}`)));
    else if (checkedEntry.entry.tank !== tank)
      errors.push({ pointer: `/entries/${index}/tank`, detail: 'This entry is of another tank.' });
    else entries.push(checkedEntry.entry);
  }
  if (errors.length > 0) throw new Fault('unsound', 'Nothing was kept. See errors.', errors.slice(0, 100));
  return entries;
}

/** Nobody writes in the name of someone else who has an account here. */
export async function ownNameOnly(
  { database }: Services,
  { account }: Person,
  entries: readonly Entry[],
): Promise<void> {
  if (account === undefined) return;
  const names = new Set(entries.flatMap(({ by }) => (by === undefined || by === account ? [] : [by])));
  for (const name of names) {
    if ((await first(database, 'select id from account where id = $1', name)) === undefined) continue;
    const errors = entries.flatMap(({ by }, index) =>
      by === name
        ? [{ pointer: `/entries/${index}/by`, detail: 'Someone else is named as the author.' }]
        : [],
    );
    throw new Fault('not-allowed', 'Nothing was kept. See errors.', errors.slice(0, 100));
  }
}
