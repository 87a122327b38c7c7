import { Hono } from 'hono';
import type { Site, SiteFile } from './site.ts';

/** What the pages may do: run their own scripts and the compiled water model, draw their own styles, fonts and pictures, and talk to no one else. */
const POLICY = [
  "default-src 'none'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "style-src 'self'",
  "font-src 'self'",
  "img-src 'self' data: blob:",
  "connect-src 'self'",
  "worker-src 'self'",
  "manifest-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ');

const GUARDS: Readonly<Record<string, string>> = {
  'Content-Security-Policy': POLICY,
  'Referrer-Policy': 'no-referrer',
  'X-Content-Type-Options': 'nosniff',
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'Permissions-Policy': 'camera=(), geolocation=(), microphone=()',
};

const FOREVER = 'public, max-age=31536000, immutable';

/** Serves the built pages. A path that is no file is a place in the page, so it gets the page itself. */
export function pages(site: Site): Hono {
  const app = new Hono();
  app.get('*', (context) => {
    const path = context.req.path;
    const file = site.get(path) ?? (isPlace(path) ? site.get('/index.html') : undefined);
    if (file === undefined) return context.text('Nothing is kept here.', 404, GUARDS);
    return answer(file, context.req.header('If-None-Match'), context.req.header('Accept-Encoding'));
  });
  return app;
}

/** Places have no file ending; a missing script or picture is an error, not the page. */
const isPlace = (path: string) => !/\.\w+$/.test(path) && !path.startsWith('/assets/');

function answer(file: SiteFile, known: string | undefined, accepted: string | undefined): Response {
  const squeezed = file.gzip !== undefined && /\bgzip\b/.test(accepted ?? '') ? file.gzip : undefined;
  const tag = `"${file.tag}${squeezed ? '-gz' : ''}"`;
  const headers = new Headers({
    ...GUARDS,
    'Content-Type': file.type,
    'Cache-Control': file.hashed ? FOREVER : 'no-cache',
    ETag: tag,
    Vary: 'Accept-Encoding',
  });
  if (known?.split(/\s*,\s*/).some((one) => one.replace(/^W\//, '') === tag))
    return new Response(null, { status: 304, headers });
  if (squeezed) headers.set('Content-Encoding', 'gzip');
  return new Response(squeezed ?? file.body, { headers });
}
