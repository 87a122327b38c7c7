import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { reckoned, SKERRY, startServer, visit } from './support.ts';

let server: Awaited<ReturnType<typeof startServer>>;
beforeAll(async () => {
  server = await startServer();
});
afterAll(() => server.stop());

describe('a first visit', () => {
  it('shows the sheet of the demonstration tank, says that it is one, and breaks no rule of its own', async () => {
    const { page, complaints, close } = await visit();
    await page.goto(server.address);
    await reckoned(page);
    expect(new URL(page.url()).pathname).toBe(SKERRY);
    expect(await page.textContent('h1')).toMatch(/^Skerry .*ready .*between \d+ \w+ and \d+ \w+/);
    expect(await page.textContent('main')).toContain('This is a demonstration');
    await expect.poll(() => page.locator('.diary > li').count()).toBe(31);
    expect(complaints).toEqual([]);
    await close();
  });

  it('reckons with threads beside, and alone where their program does not come', async () => {
    const headings: (string | null)[] = [];
    for (const comes of [true, false]) {
      const { page, complaints, close } = await visit();
      const asked: string[] = [];
      await page.context().route(/hand\.worker/, (route) => {
        asked.push(route.request().url());
        return comes ? route.continue() : route.abort();
      });
      await page.goto(server.address);
      await reckoned(page);
      headings.push(await page.textContent('h1'));
      const spare = await page.evaluate(() => navigator.hardwareConcurrency - 1);
      expect(asked.length).toBe(Math.min(3, spare));
      if (comes) expect(complaints).toEqual([]);
      await close();
    }
    expect(headings[1]).toBe(headings[0]);
  });

  it('stays away from the demonstration once it is put away', async () => {
    const { page, close } = await visit();
    await page.goto(server.address);
    await page.getByRole('button', { name: 'Put the demonstration away' }).click();
    expect(await page.textContent('h1')).toBe('No tank on this device yet');
    await page.reload();
    await page.waitForSelector('h1');
    expect(await page.textContent('h1')).toBe('No tank on this device yet');
    await close();
  });

  it('says in plain words that a tank is not here', async () => {
    const { page, close } = await visit();
    await page.goto(`${server.address}/tank/0197ffff-0000-7000-8000-000000000001`);
    await page.waitForSelector('h1');
    expect(await page.textContent('h1')).toBe('No such tank on this device');
    await close();
  });

  it('works in memory and says so where the browser keeps nothing', async () => {
    const { page, close } = await visit();
    await page.addInitScript(() => {
      indexedDB.open = () => {
        throw new DOMException('storage is switched off', 'SecurityError');
      };
    });
    await page.goto(server.address);
    expect(await page.getByRole('alert').first().textContent()).toContain('send out the journal');
    await reckoned(page);
    await expect.poll(() => page.locator('.diary > li').count()).toBe(31);
    await close();
  });

  it('is read with the arrow keys', async () => {
    const { page, close } = await visit();
    await page.goto(server.address);
    await reckoned(page);
    const cursor = page.getByRole('slider');
    await cursor.focus();
    await page.keyboard.press('Home');
    expect(await cursor.getAttribute('aria-valuetext')).toMatch(/^Day 0, .*opened/);
    await page.keyboard.press('ArrowRight');
    expect(await cursor.getAttribute('aria-valuetext')).toMatch(
      /^Day 1, .*Ammonia between [\d.]+ and [\d.]+ milligrams/,
    );
    expect(await page.textContent('.read-out')).toContain('Ammonia read between 2 and 3 mg/L as NH₄');
    await close();
  });

  it('works without a network from the second visit on, and keeps what is written then', async () => {
    const { page, context, close } = await visit();
    await page.goto(server.address);
    await reckoned(page);
    await page.evaluate(() => navigator.serviceWorker.ready);
    await context.setOffline(true);
    await page.goto(`${server.address}${SKERRY}/bench`);
    await page
      .getByRole('region', { name: 'Nitrite' })
      .getByRole('button', { name: '2', exact: true })
      .click();
    await page.getByRole('button', { name: 'Write it down', exact: true }).click();
    await page.getByRole('status').filter({ hasText: 'Written down' }).waitFor();
    await page.goto(server.address + SKERRY);
    await reckoned(page);
    expect(await page.textContent('.diary > li')).toContain('Nitrite 2 mg/L as NO₂');
    await page.locator('.progress').waitFor({ state: 'detached', timeout: 60_000 });
    await close();
  });
});
