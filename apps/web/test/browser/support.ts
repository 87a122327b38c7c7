import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { type AddressInfo, createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { AxeBuilder } from '@axe-core/playwright';
import { type BrowserContext, chromium, type Page } from 'playwright-core';

const root = fileURLToPath(new URL('../../../../', import.meta.url));

const { browserFlags } = (await import(
  new URL('../../../../tools/support/debian.mjs', import.meta.url).href
)) as {
  browserFlags: readonly string[];
};
const FLAGS = [
  ...browserFlags,
  // Letters and colours as they are drawn on any machine.
  '--font-render-hinting=none',
  '--disable-lcd-text',
  '--force-color-profile=srgb',
];

export interface ServerOptions {
  /** For several people, each with an account. */
  readonly shared?: boolean;
  /** Where its journal is kept; a folder of its own that goes away with it, unless one is given. */
  readonly data?: string;
  readonly port?: number;
  /** With a key to send messages to devices with. */
  readonly sends?: boolean;
  /** Bundled as people run it: only then it has threads to reckon on. */
  readonly reckons?: boolean;
}

const { bundle, programs } = (await import(
  new URL('../../../../tools/support/bundle.mjs', import.meta.url).href
)) as {
  bundle(program: object): Promise<string>;
  programs: Readonly<Record<'server' | 'reckoning', object>>;
};

/** Any number below the order of the curve is a private key. */
const SENDING = {
  PUSH_KEY: Buffer.alloc(32, 7).toString('base64url'),
  PUSH_CONTACT: 'mailto:keeper@tanks.example',
};

export interface TestServer {
  readonly address: string;
  /** Where the first account of a shared server is opened. */
  readonly joinAt: string;
  readonly stop: () => Promise<void>;
}

/** The program people start, on a free port; needs the pages to be built. */
export async function startServer(options: ServerOptions = {}): Promise<TestServer> {
  const data = options.data ?? mkdtempSync(join(tmpdir(), 'brinewright-data-'));
  const port = options.port ?? (options.shared ? await freePort() : 0);
  const origin = `http://localhost:${port}`;
  const shared = options.shared ? ['--shared', '--origin', origin] : [];
  const program = options.reckons
    ? await bundled()
    : ['--import', 'tsx', join(root, 'apps/server/src/main.ts')];
  const args = [...program, '--data', data, ...shared];
  const server = spawn(process.execPath, args, {
    cwd: root,
    env: { ...process.env, PORT: String(port), ...(options.sends ? SENDING : {}) },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  const ended = once(server, 'exit');
  // Whoever fails before stopping it leaves no server behind.
  const withUs = () => void server.kill();
  process.once('exit', withUs);
  const said = await new Promise<string>((resolve, reject) => {
    let all = '';
    const listen = (text: Buffer) => {
      all += text.toString();
      if ((options.shared ? /\/join\/\S+\s/ : /^Serving at \S+$/m).test(all)) resolve(all);
    };
    server.stdout.on('data', listen);
    server.stderr.on('data', listen);
    server.once('exit', (code) => reject(new Error(`the server ended with ${code}: ${all}`)));
  });
  const stop = async () => {
    server.kill();
    await ended;
    process.off('exit', withUs);
    if (options.data === undefined) rmSync(data, { recursive: true, force: true });
  };
  const [, address = ''] = /^Serving at (\S+?)\/?$/m.exec(said) ?? [];
  const [, joinAt = ''] = /(http\S+\/join\/\S+)/.exec(said) ?? [];
  return { address: options.shared ? origin : address, joinAt, stop };
}

async function bundled(): Promise<string[]> {
  await bundle(programs.reckoning);
  return [await bundle(programs.server)];
}

async function freePort(): Promise<number> {
  const probe = createServer().listen(0, '127.0.0.1');
  await once(probe, 'listening');
  const { port } = probe.address() as AddressInfo;
  probe.close();
  await once(probe, 'close');
  return port;
}

export interface Look {
  readonly width?: number;
  readonly height?: number;
  readonly colorScheme?: 'light' | 'dark';
  readonly folder?: string;
}

export interface Visit {
  readonly context: BrowserContext;
  readonly page: Page;
  /** What the page complained of: errors thrown, things its own policy refused. */
  readonly complaints: readonly string[];
  readonly close: () => Promise<void>;
}

/** A person who has never been here: a browser with an empty folder, unless one is given. */
export async function visit(look: Look = {}): Promise<Visit> {
  const folder = look.folder ?? mkdtempSync(join(tmpdir(), 'brinewright-visit-'));
  const context = await chromium.launchPersistentContext(folder, {
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: FLAGS,
    viewport: { width: look.width ?? 390, height: look.height ?? 844 },
    colorScheme: look.colorScheme ?? 'light',
    locale: 'en-GB',
    timezoneId: 'Europe/Lisbon',
    acceptDownloads: true,
  });
  const page = context.pages()[0] ?? (await context.newPage());
  const complaints: string[] = [];
  page.on('pageerror', (error) => complaints.push(String(error)));
  page.on('console', (message) => {
    if (message.type() === 'error') complaints.push(message.text());
  });
  const close = async () => {
    await context.close();
    if (look.folder === undefined) rmSync(folder, { recursive: true, force: true });
  };
  return { context, page, complaints, close };
}

/** Screenshots land here; git does not keep them. */
export function screen(name: string): string {
  const folder = join(root, 'var/screens');
  mkdirSync(folder, { recursive: true });
  return join(folder, `${name}.png`);
}

export const SKERRY = '/tank/0197a000-0000-7000-8000-0000000000a1';

/** Waits until the sheet in view has its course. */
export const reckoned = (page: Page) => page.waitForSelector('.chart svg', { timeout: 60_000 });

/** Text as a person reads it: a space that does not break is a space. */
export const textOf = async (page: Page, selector: string) =>
  (await page.textContent(selector))?.replaceAll('\u00a0', ' ') ?? '';

/** Every line of the journal as the database holds it. */
export const keptLines = (page: Page) =>
  page.evaluate(
    () =>
      new Promise<string[]>((resolve, reject) => {
        const opening = indexedDB.open('brinewright');
        opening.onerror = () => reject(opening.error);
        opening.onsuccess = () => {
          const all = opening.result.transaction('entries').objectStore('entries').getAll();
          all.onsuccess = () => {
            opening.result.close();
            resolve(all.result.map(({ line }: { line: string }) => line));
          };
        };
      }),
  );

/** Rules of accessibility that a page breaks as it stands, each with where. */
export async function rulesBroken(page: Page): Promise<string[]> {
  const { violations } = await new AxeBuilder({ page })
    .withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'])
    .analyze();
  return violations.map(
    ({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html.slice(0, 120)).join(' | ')}`,
  );
}
