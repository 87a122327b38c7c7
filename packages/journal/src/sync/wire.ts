/**
 * How a synchronisation travels: four verbs, each a JSON body there and a JSON body back, by whatever carries them.
 * Entries travel as the lines of a journal file, so that their bytes arrive as they were written.
 */
import * as z from 'zod/mini';
import { keepLine, lineOf } from '../entry/canonical.ts';
import { type Entry, envelope } from '../entry/kinds.ts';
import { entryId, tankId } from '../entry/primitives.ts';
import { type Problem, sayProblem } from '../entry/problem.ts';
import { checkEntry, entryOfLine } from '../entry/validate.ts';
import type { Cursor, Head } from '../port.ts';
import type { Peer } from './peer.ts';

/** The version of this protocol; both sides name it, and a peer that speaks another is not spoken to. */
export const WIRE_VERSION = 1;

/** Entries or ids in one body. */
const MOST = 1000;

const cursor = z.int().check(z.gte(0)) as unknown as z.ZodMiniType<Cursor, number>;
const head = z.object({ cursor, last: entryId });
const lines = z.array(z.string()).check(z.maxLength(MOST));
const ids = z.array(entryId).check(z.maxLength(MOST));

/** What each verb asks. */
export const wireRequests = {
  heads: z.object({ wire: z.literal(WIRE_VERSION) }),
  pull: z.object({ tank: tankId, after: z.optional(head) }),
  lacking: z.object({ tank: tankId, ids }),
  push: z.object({ tank: tankId, lines }),
} as const;

/** What each verb answers. */
export const wireAnswers = {
  heads: z.object({ wire: z.literal(WIRE_VERSION), heads: z.array(z.extend(head, { tank: tankId })) }),
  pull: z.union([z.object({ elsewhere: z.literal(true) }), z.object({ lines, cursor, more: z.boolean() })]),
  lacking: z.object({ ids }),
  push: z.object({ clashes: ids, refused: ids, problems: z.array(z.string()) }),
} as const;

export type WireVerb = keyof typeof wireRequests;
type Request<V extends WireVerb> = z.infer<(typeof wireRequests)[V]>;
type Answer<V extends WireVerb> = z.infer<(typeof wireAnswers)[V]>;

export const isWireVerb = (text: string): text is WireVerb => Object.hasOwn(wireRequests, text);

/** What came over the line is not what the protocol says. */
export class WireError extends Error {
  constructor(what: string, issues: readonly z.core.$ZodIssue[]) {
    const place = issues[0]?.path.join('.') ?? '';
    super(`${what} is not what was agreed${place === '' ? '' : `, at ${place}`}`);
    this.name = 'WireError';
  }
}

/** Carries one body there and brings one back, both plain JSON data; rejects where the line is dead. */
export type Carry = (verb: WireVerb, body: unknown) => Promise<unknown>;

/**
 * The peer at the other end of a line.
 * @throws WireError (from its methods) where the other side answers what was not agreed
 */
export function wirePeer(carry: Carry): Peer {
  const ask = async <V extends WireVerb>(
    verb: V,
    body: z.input<(typeof wireRequests)[V]>,
  ): Promise<Answer<V>> =>
    agreed(`the answer to ${verb}`, wireAnswers[verb], await carry(verb, body)) as Answer<V>;
  return {
    heads: async () => {
      const { heads } = await ask('heads', { wire: WIRE_VERSION });
      return new Map(heads.map(({ tank, ...place }): [typeof tank, Head] => [tank, place]));
    },
    pull: async (tank, after) => {
      const answer = await ask('pull', { tank, after });
      if ('elsewhere' in answer) return undefined;
      return { entries: answer.lines.map(pulledEntry), cursor: answer.cursor, more: answer.more };
    },
    lacking: async (tank, ofIds) => (await ask('lacking', { tank, ids: [...ofIds] })).ids,
    push: async (tank, entries) => ask('push', { tank, lines: entries.map(lineOf) }),
  };
}

/**
 * Answers what came over a line from a peer of this side.
 * @throws WireError where the body is not what was agreed
 */
export async function answerWire(peer: Peer, verb: WireVerb, body: unknown): Promise<unknown> {
  const asked = agreed(`the body of ${verb}`, wireRequests[verb], body);
  return ANSWERING[verb](peer, asked as never);
}

const ANSWERING: { readonly [V in WireVerb]: (peer: Peer, asked: Request<V>) => Promise<Answer<V>> } = {
  heads: async (peer) => ({
    wire: WIRE_VERSION,
    heads: [...(await peer.heads())].map(([tank, place]) => ({ tank, ...place })),
  }),
  pull: async (peer, { tank, after }) => {
    const page = await peer.pull(tank, after);
    if (page === undefined) return { elsewhere: true };
    return { lines: page.entries.map(lineOf), cursor: page.cursor, more: page.more };
  },
  lacking: async (peer, { tank, ids: ofIds }) => ({ ids: [...(await peer.lacking(tank, ofIds))] }),
  push: async (peer, { tank, lines: pushed }) => {
    const { entries, faulty, problems } = judged(pushed);
    const { clashes, refused } = await peer.push(tank, entries);
    return { clashes: [...clashes], refused: [...refused, ...faulty], problems: problems.map(sayProblem) };
  },
};

function agreed<S extends z.ZodMiniType>(what: string, schema: S, body: unknown): z.infer<S> {
  const result = schema.safeParse(body);
  if (!result.success) throw new WireError(what, result.error.issues);
  return result.data;
}

/** Pushed lines are judged: a server keeps only what it can read. Faulty ones that name an id are refused by it. */
function judged(pushed: readonly string[]) {
  const entries: Entry[] = [];
  const faulty: Entry['id'][] = [];
  const problems: Problem[] = [];
  for (const [place, line] of pushed.entries()) {
    const data = jsonOf(line);
    if (data === undefined) throw new WireError('a pushed line', []);
    const checked = checkEntry(data, place + 1);
    if (checked.ok) {
      keepLine(checked.entry, line);
      entries.push(checked.entry);
      continue;
    }
    problems.push(...checked.problems);
    const named = envelope.safeParse(data);
    if (named.success) faulty.push(named.data.id);
  }
  return { entries, faulty, problems };
}

/** Pulled lines are not judged beyond what every entry carries: a later program may have written them. */
function pulledEntry(line: string): Entry {
  agreed('a pulled entry', envelope, jsonOf(line));
  return entryOfLine(line);
}

function jsonOf(line: string): unknown {
  try {
    return JSON.parse(line);
  } catch {
    return undefined;
  }
}
