/**
 * What the pages cost on a slow phone: `npm run bench:web`, after the pages are built (`npx vite build apps/web`).
 * The page's own thread is slowed down four times; the worker is not, so its share is told apart. Figures are printed,
 * never asserted: they depend on the machine.
 */
import { readFileSync } from 'node:fs';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { gzipSync } from 'node:zlib';
import type { Page } from 'playwright-core';
import { SKERRY, startServer, visit } from '../apps/web/test/browser/support.ts';
import { longJournal, longTank } from './bench-web/long-journal.ts';

const site = fileURLToPath(new URL('../apps/web/dist/site/', import.meta.url));
const SLOWED = 4;
const PATIENCE_MS = 120_000;

interface Seen {
  readonly long: readonly { readonly start: number; readonly duration: number }[];
  readonly interactive: number;
}

async function watched(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const long: { start: number; duration: number }[] = [];
    const seen = { long, interactive: 0 };
    Object.assign(globalThis, { seen });
    new PerformanceObserver((list) => {
      for (const { startTime, duration } of list.getEntries()) long.push({ start: startTime, duration });
    }).observe({ type: 'longtask', buffered: true });
    // No function of its own name in here: the page knows nothing of a loader's helpers for names.
    new MutationObserver(() => {
      if (seen.interactive === 0 && document.querySelector('main h1, main .kit') !== null)
        requestAnimationFrame(() => {
          seen.interactive ||= performance.now();
        });
    }).observe(document, { subtree: true, childList: true });
  });
}

const seenIn = (page: Page): Promise<Seen> =>
  page.evaluate(() => (globalThis as unknown as { seen: Seen }).seen);

const longest = ({ long }: Seen): number => Math.max(0, ...long.map(({ duration }) => duration));

async function slow(page: Page): Promise<void> {
  const session = await page.context().newCDPSession(page);
  await session.send('Emulation.setCPUThrottlingRate', { rate: SLOWED });
}

const say = (what: string, value: string): void => console.log(`${what.padEnd(64)} ${value}`);
const ms = (value: number): string => `${Math.round(value).toLocaleString('en-GB')} ms`;

const server = await startServer();
const { page, close } = await visit();
const errors: string[] = [];
page.on('pageerror', (error) => errors.push(String(error)));
await watched(page);

// The first view: which scripts it fetches, as they travel.
const scripts = new Set<string>();
page.on('response', (response) => {
  if (response.request().resourceType() === 'script') scripts.add(new URL(response.url()).pathname);
});
await slow(page);
await page.goto(server.address + SKERRY);
await page.waitForSelector('h1');
const first = [...scripts].filter((path) => !basename(path).startsWith('course.worker'));
const weight = (path: string): number => gzipSync(readFileSync(join(site, path))).length;
say(
  'scripts of the first view, gzip',
  `${(first.reduce((sum, path) => sum + weight(path), 0) / 1024).toFixed(1)} kB`,
);
const course = await page.waitForSelector('.chart svg', { timeout: PATIENCE_MS }).then(() => seenIn(page));
say('first visit: heading there, page at 4×', ms(course.interactive));
await page.locator('.progress').waitFor({ state: 'detached', timeout: PATIENCE_MS });
say('first visit: longest task of the page at 4×', ms(longest(await seenIn(page))));

// The bench at the tank, from cold.
await page.evaluate(() => navigator.serviceWorker.ready);
await page.goto(`${server.address}${SKERRY}/bench`);
await page.waitForSelector('.kit');
await page.waitForTimeout(300);
say('bench from the device: rows there, page at 4×', ms((await seenIn(page)).interactive));
await page
  .getByText(/^Expected/)
  .first()
  .waitFor({ timeout: PATIENCE_MS });
const tapped = performance.now();
await page
  .getByRole('region', { name: 'Nitrite', exact: true })
  .getByRole('button', { name: '2', exact: true })
  .click();
await page.getByRole('button', { name: 'Write it down', exact: true }).click();
await page.getByRole('status').filter({ hasText: 'Written down' }).waitFor();
const written = performance.now();
say('a reading: tap, write, and told that it is kept, page at 4×', ms(written - tapped));
await page.locator('.progress').waitFor({ state: 'detached', timeout: PATIENCE_MS });
await page.getByRole('link', { name: 'See Skerry' }).click();
await page.waitForSelector('.chart svg');
await page.locator('.progress').waitFor({ state: 'detached', timeout: PATIENCE_MS });
say('saved reading to updated course on the sheet, page at 4×', ms(performance.now() - written));
say('bench and sheet: longest task of the page at 4×', ms(longest(await seenIn(page))));

// Work under way, left.
await page.goto(server.address + SKERRY);
await page.waitForSelector('.chart svg');
await page.getByText('What if …').click();
const asked = performance.now();
await page.getByLabel(/warmer/).check();
await page.locator('.key').waitFor({ timeout: PATIENCE_MS });
say('what if it were warmer: asked to drawn, page at 4×', ms(performance.now() - asked));

// A tank of five years.
const lines = longJournal();
await page.goto(`${server.address}/workshop`);
const brought = performance.now();
await page.getByLabel('Journal file').setInputFiles({
  name: 'long.ndjson',
  mimeType: 'application/x-ndjson',
  buffer: Buffer.from(lines.join('\n')),
});
await page.getByText('entries brought in').waitFor({ timeout: PATIENCE_MS });
say(
  `five years, ${(lines.length - 1).toLocaleString('en-GB')} entries: brought in, page at 4×`,
  ms(performance.now() - brought),
);
say('  longest task of the page at 4×', ms(longest(await seenIn(page))));
await page.goto(`${server.address}/tank/${longTank}`);
await page.waitForSelector('.diary > li', { timeout: PATIENCE_MS });
const drawn = await seenIn(page);
say('  sheet there without a course, page at 4×', ms(drawn.interactive));
const waits = performance.now();
await page.getByRole('button', { name: 'Leave it' }).first().click();
await page.getByText('Left off').waitFor();
say('  its reckoning left: told so, page at 4×', ms(performance.now() - waits));
await page.getByRole('button', { name: 'Reckon again' }).click();
const again = performance.now();
const reckoned = await page.waitForSelector('.chart svg', { timeout: PATIENCE_MS }).then(
  () => true,
  () => false,
);
say('  reckoned in the worker', reckoned ? ms(performance.now() - again) : `not within ${ms(PATIENCE_MS)}`);
say('  longest task of the page at 4×', ms(longest(await seenIn(page))));
await page.goto(`${server.address}/tank/${longTank}/bench`);
await page.waitForSelector('.kit');
const tap = performance.now();
await page
  .getByRole('region', { name: 'Nitrate', exact: true })
  .getByRole('button', { name: '10', exact: true })
  .click();
await page.getByRole('button', { name: 'Write it down', exact: true }).click();
await page.getByRole('status').filter({ hasText: 'Written down' }).waitFor();
say('  a reading more: tap, write, told, page at 4×', ms(performance.now() - tap));
say('  longest task of the page at 4×', ms(longest(await seenIn(page))));
for (const error of errors) console.log(`the page complained: ${error}`);
await close();
await server.stop();
