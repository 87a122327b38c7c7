import type { MiddlewareHandler } from 'hono';
import { routeName } from '../access/enforce.ts';
import type { Services } from '../services.ts';

/** Counts, times and logs each request under its route's name, never its address, which may hold a secret. */
export function measure({ log, metrics }: Services): MiddlewareHandler {
  return async (context, next) => {
    const began = performance.now();
    await next();
    const seconds = (performance.now() - began) / 1000;
    const labels = { route: routeName(context) ?? 'none', status: context.res.status };
    metrics.count('brinewright_requests_total', labels);
    metrics.time('brinewright_request_seconds', { route: labels.route }, seconds);
    log('request', { ...labels, ms: Math.round(seconds * 1000) });
  };
}
