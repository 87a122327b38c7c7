import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { keptLines, reckoned, SKERRY, startServer, visit } from './support.ts';

let server: Awaited<ReturnType<typeof startServer>>;
beforeAll(async () => {
  server = await startServer();
});
afterAll(() => server.stop());

const bench = () => `${server.address}${SKERRY}/bench`;
const row = (page: Page, analyte: string) => page.getByRole('region', { name: analyte, exact: true });
const write = (page: Page) => page.getByRole('button', { name: 'Write it down', exact: true });
const written = (page: Page) => page.getByRole('status').filter({ hasText: 'Written down' }).waitFor();

describe('the bench', () => {
  it('keeps a reading on the disk before it says so, then updates the course without holding up the page', async () => {
    const { page, complaints, close } = await visit();
    await page.addInitScript(() => {
      const seen: string[] = [];
      const long: number[] = [];
      Object.assign(globalThis, { seen, long });
      const add = IDBObjectStore.prototype.add;
      IDBObjectStore.prototype.add = function (...args) {
        const { transaction } = this;
        transaction.addEventListener('complete', () => seen.push(`kept ${transaction.durability}`));
        return add.apply(this, args);
      };
      new MutationObserver(() => {
        if (document.querySelector('.outcome')?.textContent?.includes('Written down')) seen.push('said');
      }).observe(document, { subtree: true, childList: true, characterData: true });
      new PerformanceObserver((list) =>
        long.push(...list.getEntries().map(({ duration }) => duration)),
      ).observe({
        type: 'longtask',
      });
    });
    await page.goto(bench());
    await page
      .getByText(/^Expected .* on the card \(9.in.10\)\.$/)
      .first()
      .waitFor({ timeout: 60_000 });
    await page.evaluate(() => {
      Object.assign(globalThis, { before: (globalThis as unknown as { long: number[] }).long.length });
      (globalThis as unknown as { seen: string[] }).seen.length = 0;
    });
    await row(page, 'Nitrite').getByRole('button', { name: '1', exact: true }).click();
    await row(page, 'Nitrite').getByRole('button', { name: '2', exact: true }).click();
    await row(page, 'Nitrite').getByRole('combobox').selectOption('5');
    await write(page).click();
    await written(page);
    const { seen, before } = await page.evaluate(() => {
      const { seen, before } = globalThis as unknown as { seen: string[]; before: number };
      return { seen, before };
    });
    expect(seen[0]).toBe('kept strict');
    expect(seen).toContain('said');
    const last = JSON.parse((await keptLines(page)).at(-1) ?? '{}');
    expect(last.kind).toBe('reading');
    expect(last.body).toEqual({
      analyte: 'nitrite',
      as: 'NO2',
      between: [1, 2],
      kit: 'nitrite-card',
      dilution: 5,
    });
    await page.getByRole('link', { name: 'See Skerry' }).click();
    await reckoned(page);
    await page.locator('.progress').waitFor({ state: 'detached', timeout: 60_000 });
    expect(await page.textContent('.diary > li')).toContain(
      'Nitrite between 1 and 2 mg/L as NO₂, diluted 1 in 5',
    );
    const blocked = await page.evaluate(() => (globalThis as unknown as { long: number[] }).long);
    expect(Math.max(0, ...blocked.slice(before))).toBeLessThan(200);
    expect(complaints).toEqual([]);
    await close();
  });

  it('loses nothing that was chosen or typed when the page is loaded again', async () => {
    const { page, close } = await visit();
    await page.goto(bench());
    await row(page, 'Nitrite').getByRole('button', { name: /^over/ }).click();
    await page.getByText('Water change', { exact: true }).click();
    await page.getByRole('textbox', { name: 'Amount', exact: true }).fill('21,5');
    await page.reload();
    await page.waitForSelector('h1');
    expect(
      await row(page, 'Nitrite').getByRole('button', { name: /^over/ }).getAttribute('aria-pressed'),
    ).toBe('true');
    expect(await page.getByRole('textbox', { name: 'Amount', exact: true }).inputValue()).toBe('21,5');
    await page.getByRole('button', { name: 'Write it down: water change' }).click();
    await written(page);
    const last = JSON.parse((await keptLines(page)).at(-1) ?? '{}');
    expect(last.body).toEqual({ litres: 21.5 });
    expect(
      await row(page, 'Nitrite').getByRole('button', { name: /^over/ }).getAttribute('aria-pressed'),
    ).toBe('true');
    await close();
  });

  it('writes down what happened earlier, refuses what lies ahead, and undoes by striking out', async () => {
    const { page, close } = await visit();
    await page.goto(bench());
    await row(page, 'Ammonia').getByRole('button', { name: '0.25' }).click();
    await page.getByRole('button', { name: 'Earlier' }).click();
    await page.getByLabel('It happened at').fill('2090-01-01T08:00');
    await write(page).click();
    await page.getByText('That lies ahead').waitFor();
    const yesterday = new Date(Date.now() - 86_400_000).toISOString().slice(0, 11);
    await page.getByLabel('It happened at').fill(`${yesterday}07:15`);
    await write(page).click();
    await written(page);
    const last = JSON.parse((await keptLines(page)).at(-1) ?? '{}');
    expect(last.at).toContain(`${yesterday}07:15`);
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByText('Undone: struck out in the journal.').waitFor();
    const strike = JSON.parse((await keptLines(page)).at(-1) ?? '{}');
    expect(strike).toMatchObject({ kind: 'strike', body: { of: last.id } });
    await close();
  });

  it('can be used from end to end with the keyboard alone', async () => {
    const { page, close } = await visit({ width: 1280 });
    await page.goto(bench());
    await page.waitForSelector('.kit');
    const tabTo = async (name: string) => {
      for (let i = 0; i < 80; i += 1) {
        await page.keyboard.press('Tab');
        const found = await page.evaluate(() => {
          const at = document.activeElement;
          return `${at?.closest('section')?.querySelector('h2')?.textContent ?? ''} ${at?.getAttribute('aria-label') ?? at?.textContent ?? ''}`.trim();
        });
        if (found === name) return;
      }
      throw new Error(`Tab never reached "${name}"`);
    };
    await tabTo('Skip to the sheet');
    await page.keyboard.press('Enter');
    await tabTo('Ammonia 0');
    await page.keyboard.press('Space');
    await tabTo('Nitrite over 5, darker than the card');
    await page.keyboard.press('Enter');
    await tabTo('Write it down');
    await page.keyboard.press('Enter');
    await written(page);
    const lines = (await keptLines(page)).slice(-2).map((line) => JSON.parse(line).body);
    expect(lines).toEqual([
      { analyte: 'ammonia', as: 'NH4', value: 0, kit: 'ammonia-card' },
      { analyte: 'nitrite', as: 'NO2', over: 5, kit: 'nitrite-card' },
    ]);
    await close();
  });

  it('tells another tab at once', async () => {
    const { page, context, close } = await visit();
    await page.goto(bench());
    await page.waitForSelector('.kit');
    const other = await context.newPage();
    await other.goto(server.address + SKERRY);
    await other.waitForSelector('.diary > li');
    await page.getByText('Note', { exact: true }).click();
    await page.getByLabel('What happened').fill('The pump was rattling.');
    await page.getByRole('button', { name: 'Write it down: note' }).click();
    await other.getByText('The pump was rattling.').waitFor();
    await close();
  });

  it('takes the numbers of an order to the bench, as a proposal', async () => {
    const { page, close } = await visit();
    await page.goto(server.address + SKERRY);
    const orders = page.getByRole('region', { name: 'Orders' });
    await orders.getByRole('listitem').first().waitFor({ timeout: 60_000 });
    const said = await orders.getByRole('heading', { level: 3 }).allTextContents();
    expect(said.length).toBeGreaterThan(0);
    await orders.getByText('Why').first().click();
    await expect.poll(() => orders.getByText('This stands while').first().isVisible()).toBe(true);
    await orders.getByRole('button', { name: /^Write down: Next test/ }).click();
    await page.waitForURL(/\/bench#tests$/);
    await expect.poll(() => row(page, 'Nitrite').isVisible()).toBe(true);
    expect((await keptLines(page)).length).toBe(31);
    await close();
  });
});
