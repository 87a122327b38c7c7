import { createHash } from 'node:crypto';
import type { Services } from '../services.ts';
import type { Database } from '../sql/database.ts';
import { type Allowance, ownAllowances, tooOften } from './limits.ts';

/** Lets one more request of a caller through. @throws Fault where it asks too often */
export type Allow = (caller: string) => Promise<void>;

/**
 * Token buckets, one a caller. On PostgreSQL they hold for all processes on the database together: they lie in a table,
 * and a process takes tokens out `atOnce`, so that only one request in so many has to ask. Elsewhere one process
 * serves, and keeps them itself.
 * @param name of the allowance, apart from others
 */
export function allowances(services: Services, name: string, allowance: Allowance, atOnce = 1): Allow {
  const own = ownAllowances(allowance);
  const taken = new Map<string, number>();
  return async (caller) => {
    const { database } = services;
    if (database.engine === 'sqlite') return own(caller);
    const left = taken.get(caller) ?? 0;
    if (left > 0) return void taken.set(caller, left - 1);
    const key = keyOf(name, caller);
    for (const tokens of new Set([atOnce, 1])) {
      if (!(await take(database, key, allowance, tokens))) continue;
      // Forgetting what was taken costs callers a few tokens at most.
      if (taken.size > MOST_CALLERS) taken.clear();
      if (tokens > 1) taken.set(caller, tokens - 1);
      return;
    }
    throw tooOften(1 / allowance.perSecond);
  };
}

const MOST_CALLERS = 10_000;

/** Neither addresses nor names lie in the table. */
const keyOf = (name: string, caller: string): string =>
  createHash('sha256').update(`${name} ${caller}`).digest('base64url');

/** By the clock of the database, which all processes share. */
async function take(
  database: Database,
  key: string,
  { burst, perSecond }: Allowance,
  tokens: number,
): Promise<boolean> {
  const full = 'least($2, a.tokens + greatest(0, excluded.at - a.at) * $3)';
  const changed = await database.run(
    `insert into allowance as a (caller, tokens, at)
     values ($1, $2::double precision - $4, extract(epoch from clock_timestamp()))
     on conflict (caller) do update set tokens = ${full} - $4, at = greatest(a.at, excluded.at)
     where ${full} >= $4`.replaceAll(/\$([23])(?!:)/g, '$$$1::double precision'),
    key,
    burst,
    perSecond,
    tokens,
  );
  return changed > 0;
}

/** A bucket nobody took from for an hour is full again, whichever it is. */
export async function forgetFullAllowances(database: Database): Promise<void> {
  if (database.engine === 'postgres')
    await database.run('delete from allowance where at < extract(epoch from clock_timestamp()) - 3600');
}
