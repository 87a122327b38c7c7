import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { rulesBroken, screen, startServer, type TestServer, type Visit, visit } from './support.ts';

const TANKS = 60;

let server: TestServer;
let keeper: Visit;

/** Many tanks with nothing but names and a reading: there is nothing to reckon yet, and much to find one's way in. */
const journal = Array.from({ length: TANKS }, (_, i) => {
  const tank = `0197d000-0000-7000-8000-${String(i).padStart(12, '0')}`;
  const entry = (n: number, kind: string, body: object) =>
    JSON.stringify({ id: tank.replace('0000', `000${n}`), tank, at: '2026-03-01T09:00:00Z', kind, body });
  return [entry(1, 'tank', { name: `Bench ${i + 1}` }), entry(2, 'note', { text: 'filled' })];
}).flat();

beforeAll(async () => {
  server = await startServer();
  await fetch(`${server.address}/api/journal`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/x-ndjson' },
    body: ['{"journal":1}', ...journal].join('\n'),
  });
  keeper = await visit();
  await keeper.page.goto(`${server.address}/workshop`);
  await keeper.page.getByText('nothing waits').first().waitFor();
  await keeper.page.getByRole('link', { name: 'Rounds', exact: true }).click();
  await keeper.page.getByText(`${TANKS + 1} tanks`, { exact: true }).waitFor();
});
afterAll(async () => {
  await keeper.close();
  await server.stop();
});

const names = (page: Page) => page.locator('.many h2').allTextContents();

describe('rounds of many tanks', () => {
  it('draw only the lines in view, in the order asked for, down to the last', async () => {
    const { page } = keeper;
    await page.getByLabel('First', { exact: true }).selectOption('name');
    await page.getByRole('link', { name: 'Bench 1', exact: true }).waitFor();
    expect((await names(page)).length).toBeLessThan(TANKS / 2);
    expect((await names(page)).slice(0, 3)).toEqual(['Bench 1', 'Bench 2', 'Bench 3']);
    await page.evaluate(() => scrollTo(0, document.documentElement.scrollHeight));
    await page.getByRole('link', { name: 'Skerry' }).waitFor();
    expect((await names(page)).at(-1)).toBe('Skerry');
  });

  it('find a tank by its name, and stand as they were for whoever comes back from it', async () => {
    const { page } = keeper;
    await page.getByLabel('Find a tank').fill('bench 41');
    await page.getByText(`1 of ${TANKS + 1} tanks`).waitFor();
    await page.getByRole('link', { name: 'Bench 41' }).click();
    await page.getByRole('heading', { name: /Bench 41/ }).waitFor();
    await page.getByRole('link', { name: 'Rounds', exact: true }).click();
    expect(await page.getByLabel('Find a tank').inputValue()).toBe('bench 41');
    await page.getByLabel('Find a tank').fill('');
  });

  it('are walked through with the tab key, further than was drawn', async () => {
    const { page } = keeper;
    await page.getByRole('link', { name: 'Bench 1', exact: true }).focus();
    for (let i = 0; i < 30; i++) {
      await page.keyboard.press('Tab');
      // The next line is there once the scroll the key caused was answered.
      await page.evaluate(() => new Promise((drawn) => requestAnimationFrame(() => setTimeout(drawn))));
    }
    expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Bench 31');
  });

  it.each([
    { width: 390, colorScheme: 'light' },
    { width: 390, colorScheme: 'dark' },
    { width: 1280, colorScheme: 'light' },
    { width: 1280, colorScheme: 'dark' },
  ] as const)('can be used by everyone at $width px in the $colorScheme', async ({ width, colorScheme }) => {
    const { page } = keeper;
    await page.setViewportSize({ width, height: 844 });
    await page.emulateMedia({ colorScheme });
    await page.evaluate(() => scrollTo(0, 0));
    expect(await rulesBroken(page)).toEqual([]);
    await page.screenshot({ path: screen(`many-${width}-${colorScheme}`) });
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBe(0);
  });
});
