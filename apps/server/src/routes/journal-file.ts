import {
  type Entry,
  type JournalStore,
  journalHeader,
  lineOf,
  parseJournal,
  readAll,
  type TankId,
} from '@brinewright/journal';
import { Hono } from 'hono';
import { stream } from 'hono/streaming';
import { describeRoute } from 'hono-openapi';
import * as z from 'zod/mini';
import { type Env, tanksOf } from '../access/person.ts';
import { keepEntries, mayWrite } from '../entries/keep.ts';
import { answers, json, text } from '../http/describe.ts';
import { atMost } from '../http/limits.ts';
import { Fault } from '../http/problem.ts';
import type { Services } from '../services.ts';
import { ownNameOnly } from './entries.ts';

const FILE = 'application/x-ndjson';
const LARGEST_FILE = 64;
/** Entries appended at once. */
const BATCH = 1000;

const broughtAnswer = z.object({
  added: z.number(),
  known: z.number(),
  problems: z.array(
    z.object({
      line: z.number(),
      code: z.string(),
      path: z.string(),
      message: z.string(),
      remedy: z.string(),
      text: z.optional(z.string()),
    }),
  ),
});

type Brought = z.infer<typeof broughtAnswer>;
type Told = Brought['problems'][number];

/** The journal as one file: everything a person wrote can be taken away again, and brought in elsewhere. */
export function journalFileRoutes(services: Services): Hono<Env> {
  const { store, now } = services;
  const app = new Hono<Env>();

  app.get(
    '/api/journal',
    describeRoute({
      summary: 'Every entry of your tanks as one journal file',
      responses: answers(text(FILE, 'One JSON object a line; the first line is the header.')),
    }),
    async (context) => {
      const tanks = [...(await tanksOf(services, context.get('person'))).keys()];
      const day = new Date(now()).toISOString().slice(0, 10);
      context.header('Content-Type', FILE);
      context.header('Content-Disposition', `attachment; filename="journal-${day}.ndjson"`);
      context.header('Cache-Control', 'private, no-store');
      return stream(context, async (out) => {
        await out.write(`${journalHeader}\n`);
        for (const tank of tanks) for await (const page of pagesOf(store, tank)) await out.write(page);
      });
    },
  );

  app.post(
    '/api/journal',
    describeRoute({
      summary: 'Bring in a journal file',
      description:
        `At most ${LARGEST_FILE} MiB. Sound entries are kept; each line that is not is told with its number, what is ` +
        'wrong and what to do. Bringing the same file in again adds nothing.',
      requestBody: { required: true, content: { [FILE]: { schema: { type: 'string' } } } },
      responses: answers(json(broughtAnswer, 'What was kept, and what was not.'), 'unsound', 'too-large'),
    }),
    atMost(LARGEST_FILE),
    async (context) => {
      const { entries, problems } = parseJournal(await textOf(context.req.raw));
      const person = context.get('person');
      await ownNameOnly(services, person, entries);
      const shut: Told[] = [];
      const open: Entry[] = [];
      for (const [tank, own] of byTank(entries)) {
        if (await mayWrite(services, person, tank)) open.push(...own);
        else shut.push(notKeeper(tank, own.length));
      }
      const report: Brought = { added: 0, known: 0, problems: [...problems, ...shut] };
      for (let start = 0; start < open.length; start += BATCH) {
        const kept = await keepEntries(services, open.slice(start, start + BATCH));
        report.added += kept.added.length;
        report.known += kept.known.length;
        report.problems.push(...kept.clashes.map(clashing));
      }
      return context.json(report);
    },
  );

  return app;
}

async function* pagesOf(store: JournalStore, tank: TankId): AsyncGenerator<string> {
  let lines: string[] = [];
  for await (const entry of readAll(store, tank)) {
    lines.push(lineOf(entry));
    if (lines.length < BATCH) continue;
    yield `${lines.join('\n')}\n`;
    lines = [];
  }
  if (lines.length > 0) yield `${lines.join('\n')}\n`;
}

async function textOf(request: Request): Promise<string> {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(await request.arrayBuffer());
  } catch (error) {
    if (!(error instanceof TypeError)) throw error;
    throw new Fault('unsound', 'The file is not UTF-8 text: save it as UTF-8 and bring it in again.');
  }
}

function byTank(entries: readonly Entry[]): ReadonlyMap<TankId, readonly Entry[]> {
  const tanks = new Map<TankId, Entry[]>();
  for (const entry of entries) {
    const own = tanks.get(entry.tank);
    if (own === undefined) tanks.set(entry.tank, [entry]);
    else own.push(entry);
  }
  return tanks;
}

const notKeeper = (tank: TankId, count: number): Told => ({
  line: 0,
  code: 'not-keeper',
  path: 'tank',
  message: `${count} entries of tank ${tank} were not kept: you are not its keeper here`,
  remedy: 'Ask a keeper of that tank to bring the file in.',
});

const clashing = (id: string): Told => ({
  line: 0,
  code: 'clash',
  path: 'id',
  message: `the entry ${id} is kept here already with different content`,
  remedy:
    'Nothing was replaced. Entries never change: write a correction as an amend entry with an id of its own.',
});
