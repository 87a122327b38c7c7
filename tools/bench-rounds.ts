/**
 * How the Rounds stand a thousand tanks on a slow phone: `npm run bench:rounds`, after the pages are built
 * (`npx vite build apps/web`). The page's own thread is slowed down four times. Figures are printed, never asserted.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { startServer, visit } from '../apps/web/test/browser/support.ts';
import { seed } from './bench-rounds/seed.ts';
import { tasksOf } from './bench-web/tasks.ts';

const TANKS = Number(process.argv[2] ?? 1000);
const SLOWED = 4;
const PATIENCE_MS = 60_000;

const say = (what: string, value: string): void => console.log(`${what.padEnd(64)} ${value}`);
const ms = (value: number): string => `${Math.round(value).toLocaleString('en-GB')} ms`;

/** Notes, from the page's start on, its long tasks and when the list was first there. */
async function watched(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const seen = { longest: 0, listed: 0 };
    Object.assign(globalThis, { seen });
    new PerformanceObserver((list) => {
      for (const { duration } of list.getEntries()) seen.longest = Math.max(seen.longest, duration);
    }).observe({ type: 'longtask', buffered: true });
    new MutationObserver(() => {
      if (seen.listed === 0 && document.querySelector('.many li') !== null)
        requestAnimationFrame(() => {
          seen.listed ||= performance.now();
        });
    }).observe(document, { subtree: true, childList: true });
  });
}

interface Seen {
  longest: number;
  listed: number;
}
const seenIn = (page: Page): Promise<Seen> =>
  page.evaluate(() => ({ ...(globalThis as unknown as { seen: Seen }).seen }));
const anew = (page: Page): Promise<void> =>
  page.evaluate(() => {
    (globalThis as unknown as { seen: Seen }).seen.longest = 0;
  });

/** Asks again until it is so: what waits inside the page waits for frames, which it may be too busy to draw. */
async function until(isSo: () => Promise<boolean>): Promise<void> {
  const last = performance.now() + PATIENCE_MS;
  while (!(await isSo())) {
    if (performance.now() > last) throw new Error(`not within ${ms(PATIENCE_MS)}`);
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

const data = mkdtempSync(join(tmpdir(), 'brinewright-rounds-'));
const entries = await seed(data, TANKS, Date.now());
const server = await startServer({ data });
const { page, context, close } = await visit();
const errors: string[] = [];
page.on('pageerror', (error) => errors.push(String(error)));
await watched(page);
const session = await context.newCDPSession(page);
await session.send('Emulation.setCPUThrottlingRate', { rate: SLOWED });
const tasks = tasksOf(session);
const sayLongest = async (what: string): Promise<void> => {
  const { longest } = await seenIn(page);
  say(what, `${ms(await tasks.longest())} of the processor, ${ms(longest)} on the clock`);
};
say(
  `${TANKS} tanks, ${entries.toLocaleString('en-GB')} entries, reckoned by the server; page at`,
  `${SLOWED}×`,
);

await page.goto(`${server.address}/workshop`);
await page.waitForSelector('h1');
await anew(page);
await tasks.restart();
const began = performance.now();
await page.getByRole('link', { name: 'Rounds', exact: true }).click();
await until(async () => (await seenIn(page)).listed > 0);
say('a device that was never here: listed', ms(performance.now() - began));
await page.getByText('nothing waits').first().waitFor({ timeout: PATIENCE_MS });
say('  every journal on the device', ms(performance.now() - began));
await sayLongest('  longest task');

await page.evaluate(() => navigator.serviceWorker.ready);
for (const [what, offline] of [
  ['the next visit', false],
  ['without a network', true],
] as const) {
  await context.setOffline(offline);
  await tasks.restart();
  await page.goto(`${server.address}/`);
  await until(async () => (await seenIn(page)).listed > 0);
  say(`${what}: listed, from the start of the page`, ms((await seenIn(page)).listed));
  await page.waitForTimeout(2000);
  await sayLongest('  longest task, two seconds after that included');
}
await context.setOffline(false);

await anew(page);
await tasks.restart();
const typed = performance.now();
await page.getByLabel('Find a tank').fill(`Bench ${TANKS}`);
await page.getByText(/^1 of /).waitFor();
say('searched by name', ms(performance.now() - typed));
await page.getByLabel('Find a tank').fill('');
await page.getByLabel('First', { exact: true }).selectOption('name');
await page.getByRole('link', { name: 'Bench 1', exact: true }).waitFor();
for (let screens = 0; screens < 40; screens++) {
  await page.mouse.wheel(0, 700);
  await page.evaluate(() => new Promise((resolve) => requestAnimationFrame(resolve)));
}
await page.mouse.wheel(0, 1_000_000);
await page.getByRole('link', { name: `Bench ${TANKS}`, exact: true }).waitFor();
await sayLongest('searching, sorting, scrolling to the end: longest task');
say('lines drawn at once', String(await page.locator('.many li').count()));
for (const error of errors) console.log(`the page complained: ${error}`);
await close();
await server.stop();
rmSync(data, { recursive: true, force: true });
