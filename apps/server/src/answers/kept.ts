import { usualHorizonDays } from '@brinewright/counsel';
import type { Head, TankId } from '@brinewright/journal';
import { placeText } from '../entries/heads.ts';
import type { Services } from '../services.ts';
import { first } from '../sql/database.ts';
import { isDue, keepLore, linesOf, loreOf, neighbours } from './lore.ts';
import type { Question, Reckoned, Reply } from './reckoner.ts';
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

/**
 * Reckons the usual answer as of now, with what is known of the tank's kits, and keeps it.
 * @param calm nobody waits for it: the kits may be learnt anew from the keepers' other tanks
 */
export async function freshAnswer(
  services: Services,
  tank: TankId,
  head: Head,
  calm = false,
): Promise<KeptAnswer> {
  const asOf = services.now();
  const known = await loreOf(services, tank);
  const learns = calm && isDue(known, asOf);
  const told = learns ? { others: await neighbours(services, tank, known.kits) } : { lore: known.learnt };
  const { reply, kits, learnt } = await reckoned(services, tank, { asOf }, told);
  if (learns || JSON.stringify(kits) !== JSON.stringify(known.kits))
    await keepLore(services, tank, { kits, learnt, at: learns ? asOf : known.at });
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
export const reckonAnswer = async (services: Services, tank: TankId, wanted: Wanted): Promise<Reply> =>
  (await reckoned(services, tank, wanted)).reply;

async function reckoned(
  services: Services,
  tank: TankId,
  wanted: Wanted,
  kits: Pick<Question, 'lore' | 'others'> = {},
): Promise<Reckoned> {
  const { asOf = services.now(), days = usualHorizonDays, seed = SEED } = wanted;
  const lines = await linesOf(services, tank);
  const began = performance.now();
  const found = await services.reckoner.ask({ tank, lines, asOf, days, seed, ...kits });
  services.metrics.time('brinewright_reckoning_seconds', {}, (performance.now() - began) / 1000);
  return found;
}
