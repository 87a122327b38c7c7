import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { reckoned, SKERRY, startServer, textOf, visit } from './support.ts';

let server: Awaited<ReturnType<typeof startServer>>;
beforeAll(async () => {
  server = await startServer();
});
afterAll(() => server.stop());

describe('the course', () => {
  it('is drawn beside what would be if one thing were otherwise, and alone again', async () => {
    const { page, complaints, close } = await visit();
    await page.goto(server.address + SKERRY);
    await reckoned(page);
    await page.locator('.progress').waitFor({ state: 'detached', timeout: 60_000 });
    await page.getByText('What if …').click();
    await page.getByLabel('no culture had been added').check();
    await page.getByText(/Dotted: if no culture had been added\. *Then/).waitFor({ timeout: 60_000 });
    const beside = page.locator('.beside-middle');
    await expect.poll(() => beside.count()).toBe(3);
    expect(await textOf(page, '.said-now:has(.key)')).toMatch(/days later \(nine times in ten/);
    await page.reload();
    await page.getByText('What if …').click();
    await page.getByLabel(/^another dose of 2 mg/).check();
    await page.getByText(/Dotted: if another dose/).waitFor({ timeout: 60_000 });
    await page.getByLabel('nothing: the plan as it is').check();
    await expect.poll(() => beside.count()).toBe(0);
    expect(complaints).toEqual([]);
    await close();
  });

  it('can be held against what was said of it on an earlier day', async () => {
    const { page, close } = await visit();
    await page.goto(server.address + SKERRY);
    await reckoned(page);
    await page.getByText('What it said before').click();
    const chosen = page.getByLabel('As it stood on');
    await chosen.waitFor();
    const days = await chosen.locator('option').allTextContents();
    expect(days.length).toBeGreaterThan(4);
    await chosen.selectOption({ index: 3 });
    await page.getByText(/Of \d+ readings since, \d+ fits? the pale band/).waitFor({ timeout: 60_000 });
    await expect.poll(() => page.locator('.chart svg').count()).toBe(2);
    await expect.poll(() => page.locator('.chart svg').nth(1).textContent()).toContain('that day');
    await close();
  });

  it('says what may hold the tank up, likeliest first, and what would tell', async () => {
    const { page, complaints, close } = await visit();
    await page.goto(server.address + SKERRY);
    await reckoned(page);
    await page.getByText('What may hold it up').click();
    const causes = page.locator('.causes > li');
    await causes.first().waitFor({ timeout: 60_000 });
    const chances = (await page.locator('.causes .chance').allTextContents()).map(Number.parseFloat);
    expect(chances.length).toBeGreaterThan(1);
    expect(chances).toEqual([...chances].sort((a, b) => b - a));
    expect(await causes.filter({ hasText: 'To tell: ' }).count()).toBeGreaterThan(0);
    const said = (await causes.allTextContents()).join('\n');
    expect(said).toMatch(/NO₂|NH₄/);
    expect(said).not.toMatch(/\bN[HO][234]\b/);
    await page.getByText(/in 100: something else of the \d+ looked at\./).waitFor();
    expect(complaints).toEqual([]);
    await close();
  });

  it('can be left while it is being reckoned, and taken up again', async () => {
    const { page, close } = await visit();
    // Pressed from within the page, as soon as it is there: from outside it may come when all is reckoned.
    await page.addInitScript(() => {
      new MutationObserver((_, observer) => {
        const leave = [...document.querySelectorAll('button')].find((one) => one.textContent === 'Leave it');
        if (!leave) return;
        observer.disconnect();
        leave.click();
      }).observe(document, { childList: true, subtree: true });
    });
    await page.goto(server.address + SKERRY);
    await page.getByText('Left off: nothing newer has been reckoned.').waitFor();
    await page.waitForTimeout(1000);
    expect(await page.locator('.bar').count()).toBe(0);
    await expect.poll(() => page.locator('.diary > li').count()).toBe(31);
    await page.getByRole('button', { name: 'Reckon again' }).click();
    await reckoned(page);
    await close();
  });
});

describe('a label', () => {
  it('says which tank it is for and carries the address of its bench', async () => {
    const { page, close } = await visit();
    await page.goto(server.address + SKERRY);
    await page.getByRole('link', { name: 'Print a label for this tank' }).click();
    await page.getByRole('img', { name: 'Square code that opens the bench of Skerry' }).waitFor();
    expect(await textOf(page, '.label')).toContain(`${server.address}${SKERRY}/bench`);
    await close();
  });
});

describe('the rounds', () => {
  it('draws the ready windows of several tanks on one axis', async () => {
    const { page, close } = await visit();
    await page.goto(`${server.address}/new`);
    await page.getByLabel('Name').fill('Cove');
    await page.getByLabel('Water in the whole system').fill('180');
    await page.getByRole('button', { name: 'Open the tank' }).click();
    await page.waitForURL(/\/tank\//);
    await page.goto(server.address);
    await page.getByRole('heading', { name: 'When each is ready' }).waitFor({ timeout: 60_000 });
    const said = await page.locator('.windows svg').getAttribute('aria-label');
    expect(said).toMatch(/Skerry: \d+ \w+–\d+ \w+/);
    expect(said).toContain('Cove: ');
    await close();
  });
});
