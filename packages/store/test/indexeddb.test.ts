import { mkdtempSync, rmSync } from 'node:fs';
import type { Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { arrivalCases, conformanceCases } from '@brinewright/store/conformance';
import { type BrowserContext, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { ensureChromium, flags, servePage } from './support/browser.ts';
import type {} from './support/indexeddbPage.ts';

// A busy machine may take its time to force things to the disk.
vi.setConfig({ testTimeout: 60_000 });

let server: Server;
let folder: string;
let browser: BrowserContext;
let page: Page;

beforeAll(async () => {
  server = await servePage();
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
    executablePath: await ensureChromium(),
    args: [...flags],
  });
  page = await browser.newPage();
  await page.goto(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`);
}

describe('journal store in IndexedDB, in a browser', () => {
  it.each([...conformanceCases, ...arrivalCases].map(({ name }) => name))('%s', async (name) => {
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

  it.each([1, 2])('brings layout %i forward, with all that is kept in it', async (version) => {
    expect(await page.evaluate((older) => globalThis.openOlder(older), version)).toEqual({
      before: [1, 2],
      again: { added: [], known: 2 },
      count: 3,
    });
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
