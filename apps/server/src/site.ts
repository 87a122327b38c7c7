import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { extname, join, relative, sep } from 'node:path';
import { gzipSync } from 'node:zlib';

/** One file of the built pages, ready to be sent. */
export interface SiteFile {
  readonly body: Uint8Array<ArrayBuffer>;
  /** The same, compressed; absent where that would not make it smaller. */
  readonly gzip: Uint8Array<ArrayBuffer> | undefined;
  readonly type: string;
  /** Of the content, without quotes. */
  readonly tag: string;
  /** Named after its content, so that it never changes. */
  readonly hashed: boolean;
}

/** The built pages by path, "/assets/…". */
export type Site = ReadonlyMap<string, SiteFile>;

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.woff2': 'font/woff2',
  '.wasm': 'application/wasm',
  '.json': 'application/json',
  '.webmanifest': 'application/manifest+json',
};

/**
 * Reads the built pages once; they are small and do not change while the program runs.
 * @throws Error where they have not been built, with the command that builds them
 */
export function readSite(folder: string): Site {
  const files = listed(folder);
  if (!files.some((file) => relative(folder, file) === 'index.html'))
    throw new Error(
      `The pages are not built: ${folder} has no index.html. Run "npx vite build apps/web" first.`,
    );
  return new Map(files.map((file) => [`/${relative(folder, file).split(sep).join('/')}`, readFile(file)]));
}

function listed(folder: string): readonly string[] {
  try {
    return readdirSync(folder, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => join(entry.parentPath, entry.name));
  } catch {
    return [];
  }
}

function readFile(file: string): SiteFile {
  const body = Uint8Array.from(readFileSync(file));
  const gzip = Uint8Array.from(gzipSync(body, { level: 9 }));
  return {
    body,
    gzip: gzip.length < 0.9 * body.length ? gzip : undefined,
    type: TYPES[extname(file)] ?? 'application/octet-stream',
    tag: createHash('sha256').update(body).digest('base64url').slice(0, 22),
    hashed: /[/\\]assets[/\\]/.test(file),
  };
}
