import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { differenceFrom } from './compare.ts';
import { SKERRY, startServer, type TestServer, visit } from './support.ts';

let server: TestServer;
beforeAll(async () => {
  server = await startServer();
});
afterAll(() => server.stop());

/** A morning on which the demonstration is looked at; the page knows no other time. */
const MORNING = Date.UTC(2026, 10, 25, 10);

const text = (page: Page, of: RegExp | string) => page.getByText(of).first().waitFor();
const drawn = (page: Page) => page.locator('.chart svg .middle.ahead').nth(2).waitFor({ timeout: 60_000 });

/** Every place, and what stands there once it is whole. */
const places: readonly (readonly [name: string, path: string, whole: (page: Page) => Promise<void>])[] = [
  [
    'sheet',
    SKERRY,
    async (page) => {
      await drawn(page);
      await text(page, 'Correct something');
    },
  ],
  ['rounds', '/', (page) => page.locator('.round').waitFor()],
  ['bench', `${SKERRY}/bench`, (page) => text(page, /^Expected/)],
  ['correction', `${SKERRY}/entry/`, (page) => text(page, 'Save the correction')],
  ['label', `${SKERRY}/label`, (page) => page.getByRole('img', { name: /^Square code/ }).waitFor()],
  ['new-tank', '/new', (page) => page.getByLabel('Name').waitFor()],
  ['mixing-room', '/mixing', (page) => page.getByRole('heading', { name: 'Mixing room' }).waitFor()],
  [
    'mixing-ammonia',
    '/mixing/ammonia-from-salt',
    (page) => page.getByRole('heading', { level: 1 }).waitFor(),
  ],
  ['workshop', '/workshop', (page) => page.getByLabel('Journal file').waitFor()],
];

const looks = [
  { name: 'phone', width: 390, height: 844, colorScheme: 'light' },
  { name: 'phone-dark', width: 390, height: 844, colorScheme: 'dark' },
  { name: 'desk', width: 1280, height: 900, colorScheme: 'light' },
  { name: 'desk-dark', width: 1280, height: 900, colorScheme: 'dark' },
] as const;

describe('every place looks as it was kept', () => {
  it.each(looks)('$name', { timeout: 180_000 }, async ({ name: look, ...size }) => {
    const { page, close } = await visit(size);
    const wrong: string[] = [];
    for (const [minutes, [name, path, whole]] of places.entries()) {
      // A minute on at each place: what was reckoned for the last is then known to be older.
      await page.clock.setFixedTime(MORNING + 60_000 * minutes);
      await page.goto(server.address + path + (path.endsWith('/entry/') ? await lastReading(page) : ''));
      await whole(page);
      const difference = differenceFrom(`${name}-${look}`, await still(page));
      if (difference !== undefined) wrong.push(difference);
    }
    expect(wrong).toEqual([]);
    await close();
  });
});

/** The id of the newest nitrite reading on the sheet, which the page before has drawn. */
async function lastReading(page: Page): Promise<string> {
  await page.goto(server.address + SKERRY);
  await page.getByRole('button', { name: 'Correct something' }).click();
  const link = page.getByRole('link', { name: /^Correct “Nitrite/ }).first();
  return ((await link.getAttribute('href')) ?? '').split('/').at(-1) ?? '';
}

/** The whole page once nothing moves on it any more: work done, fonts there, two pictures alike. */
async function still(page: Page): Promise<Buffer> {
  await page.locator('.progress').waitFor({ state: 'detached', timeout: 60_000 });
  await text(page, /^In step with the server/);
  await page.evaluate(() => document.fonts.ready);
  // A label's square code says on which port this test's server listens.
  const mask = [page.locator('.label .code'), page.locator('.label .address')];
  const picture = () => page.screenshot({ fullPage: true, animations: 'disabled', caret: 'hide', mask });
  let [before, now] = [await picture(), await picture()];
  while (!before.equals(now)) [before, now] = [now, await picture()];
  return now;
}
