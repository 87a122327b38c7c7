import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { longJournal, longTank } from '../fixtures/long-journal.ts';
import { reckoned, startServer, textOf, visit } from './support.ts';

let server: Awaited<ReturnType<typeof startServer>>;
const lines = longJournal();
const folder = mkdtempSync(join(tmpdir(), 'brinewright-old-'));
beforeAll(async () => {
  server = await startServer();
});
afterAll(async () => {
  await server.stop();
  rmSync(folder, { recursive: true, force: true });
});

describe('a tank of five years', () => {
  it('is brought in, reckoned from its late months on, and read to its first line', async () => {
    const file = join(folder, 'holm.ndjson');
    writeFileSync(file, lines.join('\n'));
    const { page, complaints, close } = await visit();
    await page.goto(`${server.address}/workshop`);
    await page.getByLabel('Journal file').setInputFiles(file);
    await page.getByText('4929 entries brought in').waitFor({ timeout: 60_000 });
    await page.goto(`${server.address}/tank/${longTank}`);
    await reckoned(page);
    expect(await textOf(page, '.lede')).toContain('Day 1825');
    expect(await textOf(page, 'main')).toContain('had long been proven by');
    await page.getByRole('button', { name: 'Show the 4899 earlier entries' }).click();
    await page
      .locator('.diary > li', { hasText: 'Described the tank: named Holm' })
      .waitFor({ state: 'attached', timeout: 60_000 });
    await expect.poll(() => page.locator('.diary > li').count()).toBe(4929);
    // The browser's own search finds a line that was never laid out, and brings it into view.
    expect(
      await page.evaluate(() => (window as unknown as { find: (t: string) => boolean }).find('named Holm')),
    ).toBe(true);
    const opening = page.locator('.diary > li', { hasText: 'named Holm' });
    expect(await opening.evaluate((line) => line.getBoundingClientRect().top < innerHeight)).toBe(true);
    expect(complaints).toEqual([]);
    await close();
  });
});
