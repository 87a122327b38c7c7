import { mkdtempSync, rmSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { conformanceCases } from '@brinewright/store/conformance';
import { build } from 'esbuild';
import { type BrowserContext, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import type {} from './support/indexeddbPage.ts';

// A busy machine may take its time to force things to the disk.
vi.setConfig({ testTimeout: 60_000 });

const flags = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** Finds the system's browser, or installs it where that is possible. */
const tools: { ensureChromium(): Promise<string> } = await import(
  new URL('../../../tools/support/debian.mjs', import.meta.url).href
);

let server: Server;
let folder: string;
let browser: BrowserContext;
let page: Page;

beforeAll(async () => {
  server = await serve(await bundle('./support/indexeddbPage.ts'));
  folder = mkdtempSync(join(tmpdir(), 'brinewright-indexeddb-'));
  await start();
}, 300_000);

afterAll(async () => {
  await browser?.close();
  server?.close();
  rmSync(folder, { recursive: true, force: true });
});

async function start(): Promise<void> {
  browser = await chromium.launchPersistentContext(folder, {
    executablePath: await tools.ensureChromium(),
    args: flags,
  });
  page = await browser.newPage();
  await page.goto(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`);
}

describe('journal store in IndexedDB, in a browser', () => {
  it.each(conformanceCases.map(({ name }) => name))('%s', async (name) => {
    expect(await page.evaluate((one) => globalThis.runCase(one), name)).toBe('held');
  });

  it('holds everything when the browser was closed and started again', async () => {
    expect(await page.evaluate(() => globalThis.appendNotes('kept', 0, 500))).toBe(500);
    await browser.close();
    await start();
    expect(await page.evaluate(() => globalThis.countNotes('kept'))).toBe(500);
  });

  it('keeps its places between synchronisations', async () => {
    expect(await page.evaluate(() => globalThis.syncWithPlaces())).toEqual([
      { pushed: 2, pulled: 0, clashes: [], refused: [] },
      { pushed: 0, pulled: 0, clashes: [], refused: [] },
    ]);
  });

  it('brings an older layout forward', async () => {
    expect(await page.evaluate(() => globalThis.openOlder())).toEqual([1, 0]);
  });

  it('refuses a journal written by a newer version, in plain words', async () => {
    expect(await page.evaluate(() => globalThis.openNewer())).toMatch(
      /written by a newer version of the program/,
    );
  });

  it('lets a newer version in another tab go on', async () => {
    expect(await page.evaluate(() => globalThis.upgradeBeside())).toBe('upgraded');
  });
});

async function bundle(entry: string): Promise<string> {
  const { outputFiles } = await build({
    entryPoints: [fileURLToPath(new URL(entry, import.meta.url))],
    bundle: true,
    write: false,
    format: 'iife',
    target: 'es2022',
    logLevel: 'silent',
  });
  return outputFiles[0]?.text ?? '';
}

async function serve(script: string): Promise<Server> {
  const created = createServer((request, response) => {
    const isScript = request.url === '/script.js';
    response.setHeader('content-type', `${isScript ? 'text/javascript' : 'text/html'}; charset=utf-8`);
    response.end(isScript ? script : '<!doctype html><title>store</title><script src="/script.js"></script>');
  });
  await new Promise<void>((ready) => created.listen(0, '127.0.0.1', ready));
  return created;
}
