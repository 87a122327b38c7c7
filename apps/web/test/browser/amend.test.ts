import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { keptLines, reckoned, SKERRY, screen, startServer, textOf, visit } from './support.ts';

let server: Awaited<ReturnType<typeof startServer>>;
beforeAll(async () => {
  server = await startServer();
});
afterAll(() => server.stop());

describe('an entry of the journal', () => {
  it('is opened in the form it was written with, and what is saved is a new entry beside it', async () => {
    const { page, complaints, close } = await visit();
    await page.goto(server.address + SKERRY);
    await page.locator('.diary > li').first().waitFor();
    const before = await keptLines(page);
    await page.getByRole('button', { name: 'Correct something' }).click();
    await page
      .getByRole('link', { name: /^Correct “Nitrite/ })
      .first()
      .click();
    const form = page.getByRole('region', { name: 'Nitrite' });
    await form.waitFor();
    expect(await textOf(page, 'h1')).toMatch(/^Correct: Nitrite/);
    const chosen = await form.locator('[aria-pressed=true]').allTextContents();
    expect(chosen).not.toEqual([]);
    await page.screenshot({ path: screen('amend-phone') });
    await page.getByRole('button', { name: 'Save the correction' }).click();
    await page.getByText('Nothing was changed.').waitFor();
    await form.getByRole('button', { name: '0', exact: true }).click();
    await page.getByRole('button', { name: 'Save the correction' }).click();
    await page.getByRole('status').filter({ hasText: 'Written down' }).waitFor();
    const after = await keptLines(page);
    expect(after.slice(0, before.length)).toEqual(before);
    expect(after).toHaveLength(before.length + 1);
    expect(JSON.parse(after.at(-1) ?? '')).toMatchObject({ kind: 'amend', body: { body: { value: 0 } } });
    await page.getByRole('link', { name: 'See Skerry' }).click();
    await page.getByText('corrected later, see above').waitFor();
    await reckoned(page);
    expect(complaints).toEqual([]);
    await close();
  });

  it('can be moved to another hour, and what cannot be read is refused with its reason', async () => {
    const { page, close } = await visit();
    await page.goto(server.address + SKERRY);
    await page.getByRole('button', { name: 'Correct something' }).click();
    await page
      .getByRole('link', { name: /^Correct “Dosed/ })
      .first()
      .click();
    await page.getByRole('spinbutton').or(page.locator('.form input')).first().waitFor();
    const when = page.getByLabel('It happened at');
    const stood = await when.inputValue();
    await when.fill('2199-01-01T10:00');
    await page.getByRole('button', { name: 'Save the correction' }).click();
    await page.getByText('That lies ahead.').waitFor();
    await when.fill(`${stood.slice(0, 10)}T00:01`);
    await page.getByRole('button', { name: 'Save the correction' }).click();
    await page.getByRole('status').filter({ hasText: 'Written down' }).waitFor();
    const last = JSON.parse((await keptLines(page)).at(-1) ?? '');
    expect(last).toMatchObject({ kind: 'amend', body: { body: {} } });
    expect(last.body.at).toContain(`${stood.slice(0, 10)}T00:01`);
    await close();
  });
});
