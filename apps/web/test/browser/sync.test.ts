import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { keptLines, startServer, type TestServer, visit } from './support.ts';

const GULLY = '0197b000-0000-7000-8000-0000000000e1';

let server: TestServer;
beforeAll(async () => {
  server = await startServer();
});
afterAll(() => server.stop());

/** A journal file of one tank: its opening and so many notes. */
const journal = (tank: string, name: string, notes: number): string =>
  [
    '{"journal":1}',
    ...Array.from({ length: notes + 1 }, (_, n) =>
      JSON.stringify({
        id: `${tank.slice(0, 9)}${String(n).padStart(4, '0')}-7000-8000-${tank.slice(24)}`,
        tank,
        at: '2026-03-01T09:00:00+01:00',
        ...(n === 0 ? { kind: 'tank', body: { name } } : { kind: 'note', body: { text: `note ${n}` } }),
      }),
    ),
  ].join('\n');

async function bringIn(page: Page, address: string, text: string): Promise<void> {
  await page.goto(`${address}/workshop`);
  await page
    .getByLabel('Journal file')
    .setInputFiles({ name: 'a.ndjson', mimeType: 'application/x-ndjson', buffer: Buffer.from(text) });
  await page.getByText('brought in').waitFor();
}

/** Entries of one tank in this browser, in an order that does not depend on how they came. */
const linesOf = async (page: Page, tank: string) =>
  (await keptLines(page)).filter((line) => line.includes(`"tank":"${tank}"`)).sort();

const inStep = (page: Page) => page.getByText('nothing waits').first().waitFor();

async function note(page: Page, address: string, text: string): Promise<void> {
  await page.goto(`${address}/tank/${GULLY}/bench`);
  await page.getByText('Note', { exact: true }).click();
  await page.getByLabel('What happened').fill(text);
  await page.getByRole('button', { name: 'Write it down: note' }).click();
  await page.getByRole('status').filter({ hasText: 'Written down' }).waitFor();
}

describe('two browsers and one server', () => {
  it('end with the same entries, and are asked for nothing', async () => {
    const [one, other] = [await visit(), await visit()];
    await bringIn(one.page, server.address, journal(GULLY, 'Gully', 600));
    await inStep(one.page);
    await other.page.goto(`${server.address}/tank/${GULLY}`);
    await other.page.getByRole('heading', { name: /Gully/ }).waitFor();
    await note(other.page, server.address, 'the pump hums');
    await inStep(other.page);
    await one.page.goto(`${server.address}/tank/${GULLY}`);
    await one.page.getByText('the pump hums').waitFor();
    expect(await linesOf(one.page, GULLY)).toEqual(await linesOf(other.page, GULLY));
    expect(await linesOf(one.page, GULLY)).toHaveLength(602);
    expect([...one.complaints, ...other.complaints]).toEqual([]);
    await one.close();
    await other.close();
  });

  it('never share the demonstration, which each device plants for itself', async () => {
    const { page, close } = await visit();
    await page.goto(`${server.address}/workshop`);
    await inStep(page);
    const list = await (await fetch(`${server.address}/api/tanks`)).json();
    expect(list.map(({ tank }: { tank: string }) => tank)).toEqual([GULLY]);
    await close();
  });

  it('take what was written without a network when it is back', async () => {
    const { page, context, close } = await visit();
    await page.goto(`${server.address}/tank/${GULLY}`);
    await page.getByRole('heading', { name: /Gully/ }).waitFor();
    await page.evaluate(() => navigator.serviceWorker.ready);
    await context.setOffline(true);
    await note(page, server.address, 'power cut in the cellar');
    await page.getByText('1 entry waits here and goes when it can').waitFor();
    const there = async () => (await fetch(`${server.address}/api/tanks/${GULLY}/entries?limit=1000`)).text();
    expect(await there()).not.toContain('power cut');
    await context.setOffline(false);
    await inStep(page);
    expect(await there()).toContain('power cut');
    await close();
  });

  it('of which one has several tabs open asks from one tab at a time', async () => {
    const { page, context, close } = await visit();
    await page.goto(`${server.address}/workshop`);
    await inStep(page);
    const second = await context.newPage();
    let [under, most, asked] = [0, 0, 0];
    await context.route('**/api/tanks', async (route) => {
      asked++;
      most = Math.max(most, ++under);
      await new Promise((resolve) => setTimeout(resolve, 100));
      under--;
      await route.continue();
    });
    await second.goto(`${server.address}/workshop`);
    await second.getByRole('button', { name: 'Bring into step now' }).click();
    await page.getByRole('button', { name: 'Bring into step now' }).click();
    await expect.poll(() => asked).toBeGreaterThanOrEqual(3);
    expect(most).toBe(1);
    await close();
  });
});

describe('a server restored from an old copy', () => {
  it('is filled again by the devices', async () => {
    const data = mkdtempSync(join(tmpdir(), 'brinewright-restored-'));
    const copy = `${data}-copy`;
    let restored = await startServer({ data });
    const port = Number(new URL(restored.address).port);
    const { page, close } = await visit();
    await bringIn(page, restored.address, journal(GULLY, 'Gully', 3));
    await inStep(page);
    await restored.stop();
    cpSync(data, copy, { recursive: true });
    restored = await startServer({ data, port });
    await note(page, restored.address, 'written after the copy was made');
    await inStep(page);
    await restored.stop();
    rmSync(data, { recursive: true });
    cpSync(copy, data, { recursive: true });
    restored = await startServer({ data, port });
    await page.goto(`${restored.address}/workshop`);
    await expect
      .poll(async () => (await fetch(`${restored.address}/api/tanks/${GULLY}/entries`)).text())
      .toContain('written after the copy was made');
    await close();
    await restored.stop();
    rmSync(data, { recursive: true });
    rmSync(copy, { recursive: true });
  });
});
