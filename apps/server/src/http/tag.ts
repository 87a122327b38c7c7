import { createHash } from 'node:crypto';
import type { Context } from 'hono';

/** An entity tag of whatever decides a content. */
export const tagOf = (...parts: readonly (string | number)[]): string =>
  `"${createHash('sha256').update(JSON.stringify(parts)).digest('base64url').slice(0, 22)}"`;

/** Whether the asker already holds what the tag stands for (RFC 9110, 13.1.2; compared weakly). */
export function isHeld(context: Context, tag: string): boolean {
  const held = context.req.header('If-None-Match');
  return held?.split(/\s*,\s*/).some((one) => one.replace(/^W\//, '') === tag) ?? false;
}

/** JSON text with its tag; to be asked for anew each time, and kept by no one in between. */
export function taggedJson(context: Context, tag: string, text: string): Response {
  const headers = { ETag: tag, 'Cache-Control': 'private, no-cache', Vary: 'Cookie, Accept-Encoding' };
  if (isHeld(context, tag)) return new Response(null, { status: 304, headers });
  return new Response(text, { headers: { ...headers, 'Content-Type': 'application/json' } });
}
