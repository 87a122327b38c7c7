import type { KitLore } from '@brinewright/counsel';
import { lineOf, readAll, type TankId } from '@brinewright/journal';
import type { Services } from '../services.ts';
import { first } from '../sql/database.ts';
import type { Journal, KitCounts } from './reckoner.ts';

/** Looking through other tanks takes about as long as an answer: once a day is enough for kits, which last months, ms. */
const EVERY = 86_400_000;
/** Fewer readings with the same kits say nothing. */
const LEAST = 6;
/** As many tanks as are learnt from. */
const MOST = 6;

/** What is known of a tank's kits. */
export interface Lore {
  readonly kits: KitCounts;
  readonly learnt: KitLore;
  /** Epoch milliseconds; 0 where other tanks were not looked through yet. */
  readonly at: number;
}

const NOTHING: Lore = { kits: {}, learnt: new Map(), at: 0 };

export async function loreOf({ database }: Services, tank: TankId): Promise<Lore> {
  const row = await first<{ kits: string; learnt: string; at: number }>(
    database,
    'select kits, learnt, learnt_at as at from kit_lore where tank = $1',
    tank,
  );
  if (row === undefined) return NOTHING;
  return { kits: JSON.parse(row.kits), learnt: new Map(JSON.parse(row.learnt)), at: row.at };
}

export async function keepLore({ database }: Services, tank: TankId, lore: Lore): Promise<void> {
  await database.run(
    `insert into kit_lore (tank, kits, learnt, learnt_at) values ($1, $2, $3, $4)
     on conflict (tank) do update
     set kits = excluded.kits, learnt = excluded.learnt, learnt_at = excluded.learnt_at`,
    tank,
    JSON.stringify(lore.kits),
    JSON.stringify([...lore.learnt]),
    lore.at,
  );
}

/** Whether other tanks are to be looked through again. Of a tank that was never reckoned the kits are not known yet. */
export const isDue = ({ kits, at }: Lore, now: number): boolean =>
  Object.keys(kits).length > 0 && Math.abs(now - at) >= EVERY;

/**
 * The journals of other tanks of the same keepers that were read most with the same kits. In a tank that a keeper may
 * only look at, someone else reads other kits with other eyes.
 */
export async function neighbours(
  services: Services,
  tank: TankId,
  kits: KitCounts,
): Promise<readonly Journal[]> {
  const chosen = (await othersOf(services, tank))
    .map((other) => ({ tank: other.tank, shared: sharedReadings(kits, JSON.parse(other.kits)) }))
    .filter(({ shared }) => shared >= LEAST)
    .sort((a, b) => b.shared - a.shared || (a.tank < b.tank ? -1 : 1))
    .slice(0, MOST);
  return Promise.all(
    chosen.map(async (one) => ({ tank: one.tank, lines: await linesOf(services, one.tank) })),
  );
}

const sharedReadings = (kits: KitCounts, others: KitCounts): number =>
  Object.entries(others).reduce((sum, [kit, count]) => (Object.hasOwn(kits, kit) ? sum + count : sum), 0);

async function othersOf({ database, mode }: Services, tank: TankId) {
  const ofKeepers = `and tank in (
    select other.tank from crew own join crew other on other.account = own.account
    where own.tank = $1 and own.role = 'keeper' and other.role = 'keeper')`;
  return database.all<{ tank: TankId; kits: string }>(
    `select tank, kits from kit_lore where tank <> $1 ${mode.shared ? ofKeepers : ''}`,
    tank,
  );
}

/** Every line of a tank's journal. */
export async function linesOf({ store }: Pick<Services, 'store'>, tank: TankId): Promise<readonly string[]> {
  const lines: string[] = [];
  for await (const entry of readAll(store, tank)) lines.push(lineOf(entry));
  return lines;
}
