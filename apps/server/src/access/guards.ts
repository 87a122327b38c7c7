import type { MiddlewareHandler } from 'hono';
import { Fault } from '../http/problem.ts';
import type { Mode } from '../services.ts';

const LOOPBACK = /^(localhost|127(\.\d{1,3}){3}|\[::1\])(:\d+)?$/;
const SAFE = new Set(['GET', 'HEAD', 'OPTIONS']);

/**
 * Keeps pages of other places away. Alone, only names of this machine are answered to, or a foreign name that was
 * made to point here could read everything; and whatever changes something must come from a page of ours, or from no
 * page at all.
 */
export function onlyOurPages(mode: Mode): MiddlewareHandler {
  return async ({ req }, next) => {
    const host = req.header('Host') ?? new URL(req.url).host;
    if (!mode.shared && !LOOPBACK.test(host))
      throw new Fault('foreign-page', 'This server answers to names of this machine only.');
    if (!SAFE.has(req.method)) {
      const origin = req.header('Origin');
      const site = req.header('Sec-Fetch-Site');
      const ours = mode.shared ? origin === mode.origin : origin !== undefined && hostOf(origin) === host;
      const fromNoPage =
        origin === undefined && (site === undefined || site === 'none' || site === 'same-origin');
      if (!ours && !fromNoPage)
        throw new Fault('foreign-page', 'What changes something must be asked from our own pages.');
    }
    await next();
  };
}

const hostOf = (origin: string): string => (URL.canParse(origin) ? new URL(origin).host : '');

/** For everything that is not a page: run nothing, show nowhere, keep nothing. */
export const closedAnswers: MiddlewareHandler = async (context, next) => {
  await next();
  const { headers } = context.res;
  if (headers.has('Content-Security-Policy')) return;
  const guards: Readonly<Record<string, string>> = {
    'Content-Security-Policy':
      "default-src 'none'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'",
    'Referrer-Policy': 'no-referrer',
    'X-Content-Type-Options': 'nosniff',
    'Cross-Origin-Opener-Policy': 'same-origin',
    'Cross-Origin-Resource-Policy': 'same-origin',
    'Permissions-Policy': 'camera=(), geolocation=(), microphone=()',
  };
  // Not by the context, which would make the answer anew for each.
  for (const [name, value] of Object.entries(guards)) headers.set(name, value);
};
