import type { Order, Sheet } from '@brinewright/counsel';
import type { TankId } from '@brinewright/journal';
import * as z from 'zod/mini';
import type { Person } from '../access/person.ts';
import type { Services } from '../services.ts';
import type { Reply } from './reckoner.ts';

const instants = z.object({
  p05: z.nullable(z.string()),
  p50: z.nullable(z.string()),
  p95: z.nullable(z.string()),
});

/** What a line of the rounds takes from a tank's answer. */
export const roundBody = z.object({
  name: z.nullable(z.string()),
  stage: z.nullable(z.string()),
  ready: z.nullable(instants),
  sentence: z.string(),
  /** The most urgent order, if any. */
  order: z.nullable(z.object({ say: z.string(), when: z.string(), urgency: z.string() })),
});
export type RoundBody = z.infer<typeof roundBody>;

export const NOT_RECKONED: RoundBody = {
  name: null,
  stage: null,
  ready: null,
  sentence: 'Not reckoned yet.',
  order: null,
};

export function roundOf(reply: Reply): RoundBody {
  if (!reply.ok) return { ...NOT_RECKONED, sentence: reply.cannot };
  const { course, sentence } = JSON.parse(reply.sheet) as Sheet;
  const [first] = JSON.parse(reply.orders) as Order[];
  const order = first === undefined ? null : { say: first.say, when: first.when, urgency: first.urgency };
  const { p05, p50, p95 } = course.ready;
  return { name: reply.name ?? null, stage: course.stage, ready: { p05, p50, p95 }, sentence, order };
}

export interface KeptRound {
  readonly tank: TankId;
  /** The journal's state it was read from. */
  readonly state: string;
  /** Epoch milliseconds. */
  readonly asOf: number;
  /** A `RoundBody` as JSON text. */
  readonly text: string;
}

/** The kept lines of every tank someone has a part in. */
export async function keptRounds(
  { database }: Pick<Services, 'database'>,
  { account }: Person,
): Promise<ReadonlyMap<TankId, KeptRound>> {
  const columns = 'select tank, state, as_of as "asOf", round as text from answer';
  const rows =
    account === undefined
      ? await database.all<KeptRound>(columns)
      : await database.all<KeptRound>(
          `${columns} where tank in (select tank from crew where account = $1)`,
          account,
        );
  return new Map(rows.map((row) => [row.tank, row]));
}
