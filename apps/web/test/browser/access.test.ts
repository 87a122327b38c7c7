import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { reckoned, rulesBroken, SKERRY, screen, startServer, visit } from './support.ts';

let server: Awaited<ReturnType<typeof startServer>>;
beforeAll(async () => {
  server = await startServer();
});
afterAll(() => server.stop());

const PLACES = [
  ['tank', SKERRY],
  ['rounds', '/'],
  ['bench', `${SKERRY}/bench`],
  ['label', `${SKERRY}/label`],
  ['new', '/new'],
  ['workshop', '/workshop'],
  ['lost', '/nowhere'],
] as const;

const LOOKS = [
  { width: 390, colorScheme: 'light' },
  { width: 390, colorScheme: 'dark' },
  { width: 1280, colorScheme: 'light' },
  { width: 1280, colorScheme: 'dark' },
] as const;

describe('every place can be used by everyone', () => {
  it.each(LOOKS)('at $width px in the $colorScheme', async (look) => {
    const { page, close } = await visit({ ...look, height: 844 });
    const found: string[] = [];
    for (const [name, path] of PLACES) {
      await page.goto(server.address + path);
      await page.waitForSelector('h1');
      if (name === 'tank') await reckoned(page);
      if (name === 'tank') {
        await page.getByText('What if …').click();
        await page.getByLabel(/^another dose/).check();
        await page.locator('.key').waitFor({ timeout: 60_000 });
        await page.getByText('What it said before').click();
      }
      if (name === 'bench') for (const summary of await page.locator('summary').all()) await summary.click();
      await page.evaluate(() => document.fonts.ready);
      for (const broken of await rulesBroken(page)) found.push(`${name}: ${broken}`);
      await page.screenshot({ path: screen(`${name}-${look.width}-${look.colorScheme}`), fullPage: true });
    }
    expect(found).toEqual([]);
    await close();
  });

  it('nothing runs off a page 320 px wide', async () => {
    const { page, close } = await visit({ width: 320, height: 640 });
    for (const [name, path] of PLACES) {
      await page.goto(server.address + path);
      await page.waitForSelector('h1');
      if (name === 'tank') {
        await reckoned(page);
        await page.getByText('The course in figures').click();
      }
      const overhang = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      expect(`${name} ${overhang}`).toBe(`${name} 0`);
    }
    await close();
  });

  it('every target at the bench is large enough for a wet thumb', async () => {
    const { page, close } = await visit({ width: 390 });
    await page.goto(`${server.address}${SKERRY}/bench`);
    await page.waitForSelector('.kit');
    for (const button of await page.locator('.kit button, .write button, .when button').all()) {
      const box = await button.boundingBox();
      expect(box?.height).toBeGreaterThanOrEqual(44);
      expect(box?.width).toBeGreaterThanOrEqual(40);
    }
    await close();
  });
});
