import type { Sheet, Urgency } from '@brinewright/counsel';
import type { TankId } from '@brinewright/journal';
import { type Context, Hono } from 'hono';
import { describeRoute } from 'hono-openapi';
import * as z from 'zod/mini';
import type { Env, Person } from '../access/person.ts';
import type { Role } from '../access/rules.ts';
import {
  freshAnswer,
  type KeptAnswer,
  keptAnswer,
  reckonAnswer,
  stands,
  type Wanted,
} from '../answers/kept.ts';
import { type KeptRound, keptRounds, NOT_RECKONED, type RoundBody, roundBody } from '../answers/round.ts';
import { mustHaveHead, placeText, tanksWithHeads } from '../entries/heads.ts';
import { answers, json } from '../http/describe.ts';
import { Fault } from '../http/problem.ts';
import { isHeld, taggedJson, tagOf } from '../http/tag.ts';
import { checked } from '../http/validate.ts';
import type { Services } from '../services.ts';

const role = z.enum(['keeper', 'mentor', 'reader'] as const satisfies readonly Role[]);

const tankList = z.array(z.object({ tank: z.string(), role, place: z.nullable(z.string()) }));

const roundList = z.array(
  z.extend(roundBody, {
    tank: z.string(),
    /** Null where nothing was reckoned yet. */
    asOf: z.nullable(z.string()),
    /** False where entries arrived since, or it is older than an hour: it is being reckoned anew. */
    current: z.boolean(),
  }),
);
type Round = z.infer<typeof roundList>[number];

const wantedQuery = z.object({
  asOf: z.optional(z.iso.datetime({ offset: true })),
  days: z.optional(z.coerce.number().check(z.int(), z.gte(1), z.lte(730))),
  seed: z.optional(z.coerce.number().check(z.int(), z.gte(0), z.lte(0xffff_ffff))),
});

const anyObject = z.looseObject({});

type Part = 'course' | 'sheet' | 'orders';

/** Tanks, where each stands, and the answers about one. */
export function tankRoutes(services: Services): Hono<Env> {
  const app = new Hono<Env>();

  app.get(
    '/api/tanks',
    describeRoute({
      summary: 'The tanks you have a part in, with the place of the newest entry of each',
      responses: answers(json(tankList, 'Sorted by id.')),
    }),
    async (context) => {
      const tanks = await tanksWithHeads(services, context.get('person'));
      const list: z.infer<typeof tankList> = tanks.map(({ tank, role, head }) => ({
        tank,
        role,
        place: head === undefined ? null : placeText(head),
      }));
      const text = JSON.stringify(list);
      return taggedJson(context, tagOf(text), text);
    },
  );

  app.get(
    '/api/rounds',
    describeRoute({
      summary: 'Every tank you have a part in, with where it stands as last reckoned',
      responses: answers(json(roundList, 'The one that needs you first comes first.')),
    }),
    async (context) => {
      const standing = await standingOf(services, context.get('person'));
      const tag = tagOf(
        ...standing.flatMap(({ tank, round, current }) => [
          tank,
          round?.asOf ?? 0,
          round?.state ?? '',
          Number(current),
        ]),
      );
      const text = isHeld(context, tag) ? '' : JSON.stringify(standing.map(saidOf).sort(byNeed));
      return taggedJson(context, tag, text);
    },
  );

  const about = (summary: string, answer: z.ZodMiniType) =>
    [
      describeRoute({
        summary,
        description:
          'Without `asOf`, `days` and `seed`: as of now, kept for up to an hour while nothing is written. The same ' +
          'journal, `asOf`, `days` and `seed` give the same answer.',
        responses: answers(json(answer, 'The answer.'), 'not-here', 'not-answerable', 'too-busy', 'unsound'),
      }),
      checked('query', wantedQuery),
    ] as const;

  app.get(
    '/api/tanks/:tank/course',
    ...about('Where a tank stands and where it goes', anyObject),
    async (context) => {
      const query = context.req.valid('query');
      return answerAbout(services, context, context.get('tank'), query, 'course');
    },
  );
  app.get(
    '/api/tanks/:tank/sheet',
    ...about('What a tank sheet shows: the course, in words too, readings, deeds and the ledger', anyObject),
    async (context) => {
      const query = context.req.valid('query');
      return answerAbout(services, context, context.get('tank'), query, 'sheet');
    },
  );
  app.get(
    '/api/tanks/:tank/orders',
    ...about('What to do with a tank, most urgent first, and why', z.array(anyObject)),
    async (context) => {
      const query = context.req.valid('query');
      return answerAbout(services, context, context.get('tank'), query, 'orders');
    },
  );

  return app;
}

const URGENCIES: readonly string[] = ['now', 'today', 'soon', 'whenever'] satisfies Urgency[];

/** By the urgency of the first order, then by name. */
function byNeed(a: Round, b: Round): number {
  const rank = ({ order }: Round): number =>
    order === null ? URGENCIES.length : URGENCIES.indexOf(order.urgency);
  return rank(a) - rank(b) || byText(a.name ?? '', b.name ?? '') || byText(a.tank, b.tank);
}

const byText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

interface Standing {
  readonly tank: TankId;
  readonly round: KeptRound | undefined;
  readonly current: boolean;
}

/** Every tank as last reckoned; where any is out of date, all that are will be reckoned anew. */
async function standingOf(services: Services, person: Person): Promise<readonly Standing[]> {
  const [tanks, kept] = [await tanksWithHeads(services, person), await keptRounds(services, person)];
  const now = services.now();
  let stale = false;
  const standing = tanks.map(({ tank, head }): Standing => {
    const round = kept.get(tank);
    const current = head !== undefined && round !== undefined && stands(round, placeText(head), now);
    if (head !== undefined && !current) stale = true;
    return { tank, round, current };
  });
  if (stale) await services.queue.add('freshen', 'all');
  return standing;
}

function saidOf({ tank, round, current }: Standing): Round {
  if (round === undefined) return { ...NOT_RECKONED, tank, asOf: null, current };
  const body = JSON.parse(round.text) as RoundBody;
  return { ...body, tank, asOf: new Date(round.asOf).toISOString(), current };
}

async function answerAbout(
  services: Services,
  context: Context,
  tank: TankId,
  query: z.infer<typeof wantedQuery>,
  part: Part,
): Promise<Response> {
  const head = await mustHaveHead(services.database, tank);
  const usual = Object.values(query).every((value) => value === undefined);
  if (usual) {
    const kept = await keptAnswer(services, tank);
    const sheet =
      kept !== undefined && stands(kept, placeText(head), services.now())
        ? kept
        : await freshAnswer(services, tank, head);
    return sheetResponse(context, tagOf(sheet.state, sheet.asOf, part), sheet, part);
  }
  const wanted: Wanted = {
    ...query,
    asOf: query.asOf === undefined ? services.now() : Date.parse(query.asOf),
  };
  const tag = tagOf(placeText(head), JSON.stringify(wanted), part);
  if (query.asOf !== undefined && isHeld(context, tag)) return taggedJson(context, tag, '');
  return sheetResponse(context, tag, { reply: await reckonAnswer(services, tank, wanted) }, part);
}

function sheetResponse(
  context: Context,
  tag: string,
  { reply }: Pick<KeptAnswer, 'reply'>,
  part: Part,
): Response {
  if (!reply.ok) throw new Fault('not-answerable', reply.cannot);
  const text = part === 'course' ? JSON.stringify((JSON.parse(reply.sheet) as Sheet).course) : reply[part];
  return taggedJson(context, tag, text);
}
