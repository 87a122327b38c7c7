import { usualHorizonDays } from '@brinewright/counsel';
import { type Head, lineOf, readAll, type TankId } from '@brinewright/journal';
import { placeText } from '../entries/heads.ts';
import type { Services } from '../services.ts';
import { first } from '../sql/database.ts';
import type { Reply } from './reckoner.ts';
import { roundOf } from './round.ts';

/** Which answer is wanted; the usual one is kept, others are reckoned when asked for. */
export interface Wanted {
  readonly asOf?: number | undefined;
  readonly days?: number | undefined;
  readonly seed?: number | undefined;
}

export interface KeptAnswer {
  readonly reply: Reply;
  /** Epoch milliseconds. */
  readonly asOf: number;
  /** The journal's state it was read from. */
  readonly state: string;
}

/** How long a kept answer stands for now, while nothing is written, ms. */
export const FRESH_FOR = 3_600_000;

const SEED = 1;
const QUESTION = 'usual';

/** The usual answer as it was last kept, however old. */
export async function keptAnswer(services: Services, tank: TankId): Promise<KeptAnswer | undefined> {
  const row = await first<{ state: string; as_of: number; body: string }>(
    services.database,
    'select state, as_of, body from answer where tank = $1 and question = $2',
    tank,
    QUESTION,
  );
  return row && { state: row.state, asOf: row.as_of, reply: JSON.parse(row.body) };
}

/** Whether a kept answer still stands. A clock that ran backwards makes it old, not new. */
export const stands = (kept: Pick<KeptAnswer, 'state' | 'asOf'>, state: string, now: number): boolean =>
  kept.state === state && Math.abs(now - kept.asOf) < FRESH_FOR;

/** Reckons the usual answer as of now and keeps it. */
export async function freshAnswer(services: Services, tank: TankId, head: Head): Promise<KeptAnswer> {
  const asOf = services.now();
  const reply = await reckonAnswer(services, tank, { asOf });
  const fresh = { reply, asOf, state: placeText(head) };
  await services.database.run(
    `insert into answer (tank, question, state, as_of, body, round) values ($1, $2, $3, $4, $5, $6)
     on conflict (tank, question) do update
     set state = excluded.state, as_of = excluded.as_of, body = excluded.body, round = excluded.round`,
    tank,
    QUESTION,
    fresh.state,
    asOf,
    JSON.stringify(reply),
    JSON.stringify(roundOf(reply)),
  );
  return fresh;
}

/** Reckons an answer to a particular question; it is not kept. */
export async function reckonAnswer(services: Services, tank: TankId, wanted: Wanted): Promise<Reply> {
  const { asOf = services.now(), days = usualHorizonDays, seed = SEED } = wanted;
  const lines: string[] = [];
  for await (const entry of readAll(services.store, tank)) lines.push(lineOf(entry));
  const began = performance.now();
  const reply = await services.reckoner.ask({ tank, lines, asOf, days, seed });
  services.metrics.time('brinewright_reckoning_seconds', {}, (performance.now() - began) / 1000);
  return reply;
}
