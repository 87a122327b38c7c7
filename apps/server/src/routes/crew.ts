import { Hono } from 'hono';
import { describeRoute } from 'hono-openapi';
import * as z from 'zod/mini';
import type { Env } from '../access/person.ts';
import type { Role } from '../access/rules.ts';
import { invite } from '../crew/invitations.ts';
import { decide, proposals, propose, proposedOrder, remark } from '../crew/proposals.ts';
import { accountOf } from '../crew/self.ts';
import { answers, done, json } from '../http/describe.ts';
import { atMost } from '../http/limits.ts';
import { Fault } from '../http/problem.ts';
import { checked } from '../http/validate.ts';
import type { Services } from '../services.ts';
import { first, type Sql } from '../sql/database.ts';

const roleWord = z.enum(['keeper', 'mentor', 'reader']);
const member = z.object({ account: z.string(), name: z.string(), role: roleWord, since: z.string() });
const memberParam = z.object({ account: z.string() });
const idParam = z.object({ id: z.string() });
const inviteBody = z.object({ role: roleWord, days: z.int().check(z.gte(1), z.lte(30)) });
const invitedAnswer = z.object({ id: z.string(), link: z.string(), expires: z.string() });
const openInvitation = z.object({ id: z.string(), role: roleWord, expires: z.string() });
const remarkBody = z.object({
  text: z.string().check(z.minLength(1), z.maxLength(5000)),
  about: z.optional(z.string()),
});
const proposalAnswer = z.object({
  id: z.string(),
  proposedBy: z.string(),
  proposedAt: z.string(),
  order: proposedOrder,
  decision: z.nullable(z.enum(['accepted', 'declined'])),
  decidedBy: z.nullable(z.string()),
  decidedAt: z.nullable(z.string()),
});

/** Who has which part in a tank, and what mentors say. */
export function crewRoutes(services: Services): Hono<Env> {
  const { database, mode } = services;
  const app = new Hono<Env>();

  app.get(
    '/api/tanks/:tank/crew',
    describeRoute({
      summary: 'Who has a part in a tank',
      responses: answers(json(z.array(member), 'Sorted by name.'), 'not-here'),
    }),
    async (context) => {
      const rows = await database.all<{ account: string; name: string; role: Role; since: number }>(
        `select c.account, a.name, c.role, c.since from crew c join account a on a.id = c.account
         where c.tank = $1 order by a.folded`,
        context.get('tank'),
      );
      return context.json(rows.map((row) => ({ ...row, since: new Date(row.since).toISOString() })));
    },
  );

  app.put(
    '/api/tanks/:tank/crew/:account',
    describeRoute({
      summary: "Change someone's part in a tank",
      responses: answers(done, 'not-here', 'not-allowed', 'still-needed', 'unsound'),
    }),
    atMost(1),
    checked('param', memberParam),
    checked('json', z.object({ role: roleWord })),
    async (context) => {
      const tank = context.get('tank');
      const { account } = context.req.valid('param');
      const { role } = context.req.valid('json');
      await database.transaction(async (sql) => {
        await sql.lock('crew');
        const changed = await sql.run(
          'update crew set role = $1 where tank = $2 and account = $3',
          role,
          tank,
          account,
        );
        if (changed === 0) throw new Fault('not-here', 'They have no part in this tank: invite them.');
        await mustHaveKeeper(sql, tank);
      });
      return context.body(null, 204);
    },
  );

  const removed = async (tank: string, account: string): Promise<void> => {
    await database.transaction(async (sql) => {
      await sql.lock('crew');
      const gone = await sql.run('delete from crew where tank = $1 and account = $2', tank, account);
      if (gone === 0) throw new Fault('not-here');
      await mustHaveKeeper(sql, tank);
    });
  };

  app.delete(
    '/api/tanks/:tank/crew/self',
    describeRoute({
      summary: 'Give up your part in a tank',
      responses: answers(done, 'not-here', 'still-needed'),
    }),
    async (context) => {
      await removed(context.get('tank'), accountOf(context));
      return context.body(null, 204);
    },
  );

  app.delete(
    '/api/tanks/:tank/crew/:account',
    describeRoute({
      summary: "Take away someone's part in a tank",
      responses: answers(done, 'not-here', 'not-allowed', 'still-needed'),
    }),
    checked('param', memberParam),
    async (context) => {
      const tank = context.get('tank');
      const { account } = context.req.valid('param');
      await removed(tank, account);
      return context.body(null, 204);
    },
  );

  app.get(
    '/api/tanks/:tank/invitations',
    describeRoute({
      summary: 'Invitations to a tank that nobody has taken up yet',
      responses: answers(json(z.array(openInvitation), 'Without their links.'), 'not-here', 'not-allowed'),
    }),
    async (context) => {
      const rows = await database.all<{ id: string; role: Role; expires: number }>(
        'select id, role, expires from invitation where tank = $1 and expires > $2 order by expires, id',
        context.get('tank'),
        services.now(),
      );
      return context.json(rows.map((row) => ({ ...row, expires: new Date(row.expires).toISOString() })));
    },
  );

  app.post(
    '/api/tanks/:tank/invitations',
    describeRoute({
      summary: 'Invite someone to a tank',
      description: 'The link serves one person once, and is shown this once.',
      responses: answers(json(invitedAnswer, 'Hand the link over.'), 'not-here', 'not-allowed', 'unsound'),
    }),
    atMost(1),
    checked('json', inviteBody),
    async (context) => {
      const { role, days } = context.req.valid('json');
      const tank = context.get('tank');
      const { id, secret, expires } = await invite(services, accountOf(context), tank, role, days);
      const link = `${mode.shared ? mode.origin : ''}/join/${secret}`;
      return context.json({ id, link, expires: new Date(expires).toISOString() });
    },
  );

  app.delete(
    '/api/tanks/:tank/invitations/:id',
    describeRoute({
      summary: 'Withdraw an invitation',
      responses: answers(done, 'not-here', 'not-allowed'),
    }),
    checked('param', idParam),
    async (context) => {
      const tank = context.get('tank');
      const { id } = context.req.valid('param');
      const gone = await database.run('delete from invitation where tank = $1 and id = $2', tank, id);
      if (gone === 0) throw new Fault('not-here');
      return context.body(null, 204);
    },
  );

  app.post(
    '/api/tanks/:tank/remarks',
    describeRoute({
      summary: 'Remark on a tank, or on one of its entries',
      description: 'It becomes a note in the journal, with `remark` set and your id as its author.',
      responses: answers(
        json(z.object({ entry: z.string() }), 'The note.'),
        'not-here',
        'not-allowed',
        'unsound',
      ),
    }),
    atMost(1),
    checked('json', remarkBody),
    async (context) => {
      const { text, about } = context.req.valid('json');
      const tank = context.get('tank');
      const entry = await remark(services, tank, accountOf(context), text, about);
      return context.json({ entry: entry.id });
    },
  );

  app.get(
    '/api/tanks/:tank/proposals',
    describeRoute({
      summary: 'What mentors proposed',
      responses: answers(json(z.array(proposalAnswer), 'Newest first.'), 'not-here'),
    }),
    async (context) => context.json([...(await proposals(services, context.get('tank')))]),
  );

  app.post(
    '/api/tanks/:tank/proposals',
    describeRoute({
      summary: 'Propose an order that a keeper may accept',
      responses: answers(
        json(proposalAnswer, 'It waits for a keeper.'),
        'not-here',
        'not-allowed',
        'unsound',
      ),
    }),
    atMost(1),
    checked('json', proposedOrder),
    async (context) => {
      const tank = context.get('tank');
      return context.json(await propose(services, tank, accountOf(context), context.req.valid('json')));
    },
  );

  for (const [path, decision, summary] of [
    ['/api/tanks/:tank/proposals/:id/acceptance', 'accepted', 'Accept a proposal; it goes into the journal'],
    ['/api/tanks/:tank/proposals/:id/refusal', 'declined', 'Decline a proposal'],
  ] as const)
    app.post(
      path,
      describeRoute({
        summary,
        responses: answers(json(proposalAnswer, 'Decided.'), 'not-here', 'not-allowed', 'already-so'),
      }),
      checked('param', idParam),
      async (context) => {
        const tank = context.get('tank');
        const { id } = context.req.valid('param');
        return context.json(await decide(services, tank, id, accountOf(context), decision));
      },
    );

  return app;
}

/** @throws Fault where nobody is keeper of the tank any more; to be called in the transaction that changed it */
async function mustHaveKeeper(sql: Sql, tank: string): Promise<void> {
  const keeper = await first(
    sql,
    "select account from crew where tank = $1 and role = 'keeper' limit 1",
    tank,
  );
  if (keeper === undefined)
    throw new Fault('still-needed', 'A tank needs a keeper: make someone else keeper first.');
}
