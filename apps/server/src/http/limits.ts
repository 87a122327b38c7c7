import { getConnInfo } from '@hono/node-server/conninfo';
import type { Context, MiddlewareHandler } from 'hono';
import { bodyLimit } from 'hono/body-limit';
import { Fault } from './problem.ts';

const MEBIBYTE = 1024 * 1024;

/**
 * Refuses a body that is larger: at once where its length is said, which the connection then holds it to, else as it
 * arrives. Counting a body of known length would read it through a stream, at several times the cost of a small push.
 */
export function atMost(mebibytes: number): MiddlewareHandler {
  const most = mebibytes * MEBIBYTE;
  const refuse = (): never => {
    throw new Fault('too-large', `At most ${mebibytes} MiB are read at once: send it in parts.`);
  };
  const counted = bodyLimit({ maxSize: most, onError: refuse });
  return async (context, next) => {
    const { req } = context;
    const length = req.header('Content-Length');
    if (length === undefined || req.header('Transfer-Encoding') !== undefined) return counted(context, next);
    return Number(length) > most ? refuse() : next();
  };
}

export interface Allowance {
  /** So many at once. */
  readonly burst: number;
  /** And so many a second in the long run. */
  readonly perSecond: number;
}

/**
 * Token buckets, one a key, in this process. A process that restarts, or one of several, begins with full buckets:
 * this keeps one caller from crowding out others and slows guessing; it is not an exact quota.
 * @param clock seconds that never run backwards
 */
export function ownAllowances(
  { burst, perSecond }: Allowance,
  clock = () => performance.now() / 1000,
): (key: string) => void {
  const buckets = new Map<string, { tokens: number; at: number }>();
  return (key) => {
    const now = clock();
    const before = buckets.get(key);
    const tokens =
      before === undefined ? burst : Math.min(burst, before.tokens + (now - before.at) * perSecond);
    if (tokens < 1) throw tooOften((1 - tokens) / perSecond);
    if (buckets.size > MOST_BUCKETS) forgetFull(buckets, now, { burst, perSecond });
    buckets.set(key, { tokens: tokens - 1, at: now });
  };
}

/** @param wait until one more is allowed, s */
export function tooOften(wait: number): Fault {
  const seconds = String(Math.max(1, Math.ceil(wait)));
  return new Fault('too-often', `Ask again in ${seconds} s.`, [], { 'Retry-After': seconds });
}

const MOST_BUCKETS = 10_000;

function forgetFull(
  buckets: Map<string, { tokens: number; at: number }>,
  now: number,
  { burst, perSecond }: Allowance,
): void {
  for (const [key, { tokens, at }] of buckets)
    if (tokens + (now - at) * perSecond >= burst) buckets.delete(key);
}

/** Who asks, as an address; with a proxy before us, the one it noted last. */
export function callerAddress(context: Context, behindProxy: boolean): string {
  if (behindProxy) {
    const noted = context.req.header('X-Forwarded-For')?.split(',').at(-1)?.trim();
    if (noted) return noted;
  }
  try {
    return getConnInfo(context).remote.address ?? '';
  } catch {
    return '';
  }
}
