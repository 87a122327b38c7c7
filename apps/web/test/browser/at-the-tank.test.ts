import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { keptLines, reckoned, SKERRY, screen, startServer, visit } from './support.ts';

let server: Awaited<ReturnType<typeof startServer>>;
beforeAll(async () => {
  server = await startServer();
});
afterAll(() => server.stop());

const row = (page: Page, analyte: string) => page.getByRole('region', { name: analyte, exact: true });
const step = (page: Page, analyte: string, name: string) =>
  row(page, analyte).getByRole('button', { name, exact: true });
const write = (page: Page) => page.getByRole('button', { name: 'Write it down', exact: true });
const written = (page: Page) => page.getByRole('status').filter({ hasText: 'Written down' }).waitFor();
const lastBody = async (page: Page) => JSON.parse((await keptLines(page)).at(-1) ?? '{}').body;

/** The bench as the label on the tank opens it, with what is expected of each kit beside it. */
async function atTheBench(page: Page, ready = expectationsThere): Promise<void> {
  await page.goto(`${server.address}${SKERRY}/bench`);
  await ready(page);
}

async function expectationsThere(page: Page): Promise<void> {
  await page
    .getByText(/^Expected/)
    .first()
    .waitFor({ timeout: 60_000 });
}

describe('a reading at the tank', () => {
  it('takes two taps, and every test of a visit one more', async () => {
    const { page, close } = await visit();
    await atTheBench(page);
    await page.evaluate(() => {
      Object.assign(globalThis, { presses: 0 });
      const count = () => {
        (globalThis as unknown as { presses: number }).presses += 1;
      };
      for (const kind of ['pointerdown', 'keydown']) addEventListener(kind, count, true);
    });
    const presses = () => page.evaluate(() => (globalThis as unknown as { presses: number }).presses);
    await step(page, 'Ammonia', '0').click();
    await write(page).click();
    await written(page);
    expect(await presses()).toBe(2);
    expect(await lastBody(page)).toMatchObject({ analyte: 'ammonia', value: 0, kit: 'ammonia-card' });
    await step(page, 'Nitrite', '5').click();
    await step(page, 'Nitrate', '20').click();
    await write(page).click();
    await page.getByRole('status').filter({ hasText: 'Nitrate 20' }).waitFor();
    expect(await presses()).toBe(5);
    await close();
  });

  it('may lie past the end of the card, in a diluted sample, and is kept as it was read', async () => {
    const { page, close } = await visit();
    await atTheBench(page);
    await row(page, 'Nitrite').getByRole('combobox').selectOption('5');
    await row(page, 'Nitrite').getByRole('button', { name: 'over 5, darker than the card' }).click();
    await row(page, 'Nitrite')
      .getByText(/over 25/)
      .waitFor();
    await write(page).click();
    await written(page);
    expect(await lastBody(page)).toEqual({
      analyte: 'nitrite',
      as: 'NO2',
      over: 5,
      kit: 'nitrite-card',
      dilution: 5,
    });
    await close();
  });

  it('far from what was expected is asked about where it is and where it is written, and never refused', async () => {
    const { page, close } = await visit();
    await atTheBench(page);
    const asked = page.getByText('Nitrite: far from what was expected.');
    await step(page, 'Nitrite', '5').click();
    expect(await asked.count()).toBe(0);
    await step(page, 'Nitrite', '5').click();
    await step(page, 'Nitrite', '0').click();
    await asked.waitFor();
    await row(page, 'Nitrite').getByText('Far from what was expected. Before you write it down:').waitFor();
    await write(page).click();
    await written(page);
    expect(await lastBody(page)).toMatchObject({ analyte: 'nitrite', value: 0 });
    expect(await asked.count()).toBe(0);
    await close();
  });

  it('far off brings first orders at once, which say what they do not know yet, and the whole of them after', async () => {
    const { page, close } = await visit();
    await atTheBench(page);
    // Two that cannot both be so: something must be wrong.
    for (const read of ['over 5, darker than the card', '1']) {
      await step(page, 'Nitrite', read).click();
      await write(page).click();
      await written(page);
    }
    await page.locator('.outcome a').click();
    const orders = page.getByRole('region', { name: 'Orders' });
    await orders.getByText('What may hold the tank up has not been weighed yet.').waitFor();
    expect(await orders.getByRole('listitem').count()).toBeGreaterThan(0);
    await orders.getByText('has not been weighed').waitFor({ state: 'detached', timeout: 60_000 });
    await page.locator('.progress').waitFor({ state: 'detached' });
    await close();
  });

  it('can be taken with an eye that nobody led: what was expected is said once it is chosen', async () => {
    const { page, close } = await visit();
    await page.goto(`${server.address}/workshop`);
    await page.getByLabel('said once you have chosen, so that it does not lead your eye').check();
    await atTheBench(page, async () => {
      // The orders name the kit they ask for once the course is there, and so the expectation.
      await page.locator('.kit').first().waitFor();
      await expect
        .poll(
          async () => {
            await step(page, 'Ammonia', '0').click();
            const told = await row(page, 'Ammonia')
              .getByText(/Expected/)
              .count();
            await step(page, 'Ammonia', '0').click();
            return told;
          },
          { timeout: 60_000 },
        )
        .toBe(1);
    });
    expect(await page.getByText(/Expected/).count()).toBe(0);
    await step(page, 'Nitrite', '5').click();
    await row(page, 'Nitrite')
      .getByText(/Expected/)
      .waitFor();
    expect(
      await row(page, 'Ammonia')
        .getByText(/Expected/)
        .count(),
    ).toBe(0);
    await close();
  });
});

describe('the sheet', () => {
  it('prints what counts and leaves out what can only be pressed', async () => {
    const { page, close } = await visit({ width: 794, height: 1123 });
    await page.goto(server.address + SKERRY);
    await reckoned(page);
    await page.getByRole('heading', { name: 'Orders' }).waitFor();
    await page.emulateMedia({ media: 'print' });
    for (const shown of ['.chart svg', '.orders', '.ledger', '.diary'])
      expect(`${shown} ${await page.locator(shown).first().isVisible()}`).toBe(`${shown} true`);
    for (const button of await page.locator('button, nav, a.act').all())
      expect(await button.isVisible()).toBe(false);
    expect(await page.evaluate(() => getComputedStyle(document.body).backgroundColor)).toBe(
      'rgb(255, 255, 255)',
    );
    await page.screenshot({ path: screen('sheet-print'), fullPage: true });
    await close();
  });

  it('moves nothing by itself for whoever wants no motion', async () => {
    const { page, close } = await visit();
    await page.emulateMedia({ reducedMotion: 'reduce' });
    for (const path of [SKERRY, `${SKERRY}/bench`, '/', '/mixing']) {
      await page.goto(server.address + path);
      await page.getByRole('heading', { level: 1 }).waitFor();
      if (path === SKERRY) await reckoned(page);
      const moving = await page.evaluate(() =>
        [...document.querySelectorAll('*')]
          .filter((element) => {
            const { animationName, transitionDuration, scrollBehavior } = getComputedStyle(element);
            return animationName !== 'none' || transitionDuration !== '0s' || scrollBehavior === 'smooth';
          })
          .map(({ tagName, className }) => `${tagName} ${String(className)}`),
      );
      expect(moving).toEqual([]);
    }
    await close();
  });
});
