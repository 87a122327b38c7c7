import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { rulesBroken, screen, startServer, textOf, type Visit, visit } from './support.ts';

let server: Awaited<ReturnType<typeof startServer>>;
beforeAll(async () => {
  server = await startServer();
});
afterAll(() => server.stop());

/** Comes into the room and finds a sheet by typing a word, as someone does who has never been here. */
async function find(page: Page, word: string, title: string): Promise<void> {
  await page.goto(`${server.address}/mixing`);
  await page.getByRole('textbox', { name: 'What do you want to do?' }).fill(word);
  await page.getByRole('link', { name: title, exact: true }).click();
  await page.getByRole('heading', { level: 1, name: title }).waitFor();
}

const number = (page: Page, title: string) =>
  page.getByRole('textbox', { name: new RegExp(`^${title}( needed)?$`) });
const put = (page: Page, title: string, value: string) => number(page, title).fill(value);
const choose = (page: Page, title: string, label: string) =>
  page.getByRole('combobox', { name: title, exact: true }).selectOption({ label });
const mindIt = (page: Page) =>
  page.getByRole('button', { name: 'I have read this; show the amount' }).click();

/** The figures of the answer, by title. */
const figures = async (page: Page): Promise<Record<string, string>> => {
  await page.waitForSelector('.answer .figures');
  const pairs = await page
    .locator('.answer > .figures > div')
    .evaluateAll((rows) =>
      rows.map((row) => [row.querySelector('dt')?.textContent, row.querySelector('dd')?.textContent]),
    );
  return Object.fromEntries(pairs.map(([title, said]) => [title, said?.replaceAll('\u00a0', ' ')]));
};

/** The last lines of the journal, as the database holds them. */
const keptLines = (page: Page, count: number) =>
  page.evaluate(
    (last) =>
      new Promise<{ kind: string; tank: string; body: unknown }[]>((resolve, reject) => {
        const opening = indexedDB.open('brinewright');
        opening.onerror = () => reject(opening.error);
        opening.onsuccess = () => {
          const all = opening.result.transaction('entries').objectStore('entries').getAll();
          all.onsuccess = () => {
            opening.result.close();
            resolve(all.result.slice(-last).map(({ line }: { line: string }) => JSON.parse(line)));
          };
        };
      }),
    count,
  );

describe('ten everyday tasks on a phone, without instructions', () => {
  let phone: Visit;
  beforeAll(async () => {
    phone = await visit();
  });
  afterAll(() => phone.close());

  const task = (name: string, work: (page: Page) => Promise<void>) =>
    it(name, async () => {
      const { page, complaints } = phone;
      await work(page);
      expect(complaints).toEqual([]);
      expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBe(0);
    });

  task('raise 200 L from 33 to 35', async (page) => {
    await find(page, 'raise', 'Raise the salinity of a tank');
    await put(page, 'Water in the system', '200');
    await put(page, 'Salinity now', '33');
    await put(page, 'Salinity wanted', '35');
    const answer = await figures(page);
    expect(answer['Salt mix in all']).toMatch(/^461 ± \d+ g$/);
    expect(answer['Days to spread it over, with animals in the water']).toBe('2 d');
  });

  task('replace 3 L that evaporated', async (page) => {
    await find(page, 'evaporated', 'Replace what evaporated');
    await put(page, 'Water left in the system', '209');
    await put(page, 'Salinity now', '35');
    const answer = await figures(page);
    expect(answer['Fresh water to add']).toMatch(/^3\.\d+ ± /);
    await page.getByRole('button', { name: 'Write it down', exact: true }).click();
    await page.getByRole('status').filter({ hasText: 'Written down' }).waitFor();
    const [line] = await keptLines(page, 1);
    expect(line).toMatchObject({ kind: 'topoff', body: { litres: expect.closeTo(3, 0) } });
  });

  task('dose to 2 mg/L as N from a 10 % bottle', async (page) => {
    await find(page, 'bottle', 'Dose ammonia from a bottle');
    await put(page, 'Water in the system', '200');
    await choose(page, 'Total ammonia wanted: unit', 'mg/L as N');
    await put(page, 'Total ammonia wanted', '2');
    await put(page, 'Strength', '10');
    await page.getByRole('heading', { name: 'Before you go on' }).waitFor();
    expect(await page.locator('.figures').count()).toBe(0);
    await mindIt(page);
    const answer = await figures(page);
    expect(answer['Solution to measure out']).toMatch(/^4\.8[67]\d* ± \S+ mL$/);
    expect(await textOf(page, '.answer')).toContain('For empty tanks only');
  });

  task('volume of a bow-front tank with rock', async (page) => {
    await find(page, 'bow', 'How much water a tank holds');
    await page
      .getByRole('combobox', { name: 'Shape' })
      .selectOption({ label: 'Box with an arched front: width at the sides, bow in the middle' });
    await put(page, 'Length', '120');
    await put(page, 'Width', '50');
    await put(page, 'Bow', '8');
    await put(page, 'Water height', '45');
    await put(page, 'Rock', '20');
    const answer = await figures(page);
    expect(answer['Water in the system']).toMatch(/^27\d(\.\d)? ± \d/);
    expect(await textOf(page, '.cautions')).toContain('structural');
  });

  task('water changes from 80 to 20 mg/L nitrate', async (page) => {
    await find(page, 'nitrate', 'Bring nitrate down by water changes');
    await put(page, 'Nitrate now', '80');
    await put(page, 'Nitrate wanted', '20');
    await put(page, 'Changes', '2');
    const answer = await figures(page);
    expect(answer['New water for each change']).toBe('106.0 ± 5.5 L');
    expect(answer['Share of the water in each change']).toBe('50 %');
    expect((await page.locator('tbody tr').last().textContent())?.slice(0, 3)).toBe('220');
  });

  task('what a refractometer set with fresh water really says', async (page) => {
    await find(page, 'refractometer', 'What a refractometer really says');
    await put(page, 'Reading', '36');
    await choose(page, 'Scale', 'Brine: marked for sodium chloride, g/kg');
    await choose(page, 'Last set with', 'Pure water, to zero');
    const answer = await figures(page);
    expect(answer.Salinity).toMatch(/^34\.\d+ ± 0\.\d+$/);
    expect(await textOf(page, '.minding')).toContain('4 % too much');
  });

  task('how warm new water must be', async (page) => {
    await find(page, 'warm', 'How warm new water must be');
    await put(page, 'Share changed', '20');
    await put(page, 'Temperature of the tank', '24');
    await put(page, 'Temperature wanted', '25');
    expect((await figures(page))['Temperature of the new water']).toMatch(/^29(\.\d+)?( ± \S+)? °C$/);
  });

  task('blend two waters', async (page) => {
    await find(page, 'blend', 'Blend two waters');
    const water = (name: string) => page.getByRole('group', { name });
    await water('First water').getByRole('textbox', { name: 'How much of it' }).fill('100');
    await water('First water').getByRole('textbox', { name: 'Its salinity', exact: true }).fill('35');
    await water('Second water').getByRole('textbox', { name: 'How much of it' }).fill('25');
    await water('Second water').getByRole('textbox', { name: 'Its salinity', exact: true }).fill('30');
    expect((await figures(page)).Salinity).toMatch(/^34\.0\d* ± /);
  });

  task('bicarbonate to raise 0.5 meq/L', async (page) => {
    await find(page, 'baking soda', 'Raise alkalinity');
    await put(page, 'Water in the system', '200');
    await put(page, 'Alkalinity now', '2,5');
    await put(page, 'Alkalinity wanted', '3,0');
    const answer = await figures(page);
    expect(Object.entries(answer)[0]?.[0]).toBe('NaHCO₃ in all');
    expect(Object.entries(answer)[0]?.[1]).toMatch(/^8\.4\d? ± /);
  });

  task('calibrate my salt by one batch', async (page) => {
    await find(page, 'calibrate my salt', 'Learn your own salt mix from one batch');
    await choose(page, 'Salt mix weighed: unit', 'kg');
    await put(page, 'Salt mix weighed', '3,9');
    await put(page, 'Fresh water', '100');
    await put(page, 'Salinity measured', '35.2');
    const answer = await figures(page);
    expect(answer['Salt mix per gram of dry sea salt']).toMatch(/^1\.064/);
    expect(answer['Salt mix for a litre at salinity 35 and 25 °C']).toMatch(/^38\.3\d* g\/L$/);
  });
});

describe('a sheet of the mixing room', () => {
  const raise = () => `${server.address}/mixing/raise-salinity`;

  it('says what is wrong beside the field, with its remedy, and clears nothing', async () => {
    const { page, close } = await visit();
    await page.goto(raise());
    await put(page, 'Salinity wanted', '1.026');
    await number(page, 'Water in the system').fill('200 gallons');
    await number(page, 'Temperature').focus();
    const water = number(page, 'Water in the system');
    await page.getByText('may be US or UK gallons. Write US gal or UK gal.').waitFor();
    expect(await water.getAttribute('aria-invalid')).toBe('true');
    const tied = (await water.getAttribute('aria-describedby')) ?? '';
    expect(await page.locator(`#${tied.split(' ').at(-1)}`).textContent()).toContain('US or UK gallons');
    expect(await water.inputValue()).toBe('200 gallons');
    await page.getByText('1.026 looks like a specific gravity.').waitFor();
    await choose(page, 'Salinity wanted: unit', 'SG 25/25');
    await page.getByText(/^That is 34\.\d+\sppt\.$/).waitFor();
    await close();
  });

  it('fills in what the tank’s journal knows, says so, and lets it be changed and put back', async () => {
    const { page, close } = await visit();
    await page.goto(raise());
    expect(await number(page, 'Water in the system').inputValue()).toBe('212');
    expect(await page.getByLabel('Water in the system: give or take').inputValue()).toBe('11');
    await page.getByText('Skerry, from its journal').first().waitFor();
    await put(page, 'Salinity now', '33');
    await page.getByText('Skerry’s journal says 34.5 ppt.').waitFor();
    await page.getByRole('button', { name: 'Salinity now: use the number of the journal' }).click();
    expect(await number(page, 'Salinity now').inputValue()).toBe('34.5');
    await page
      .getByRole('combobox', { name: 'For which tank' })
      .selectOption({ label: 'no tank in particular' });
    expect(await number(page, 'Water in the system').inputValue()).toBe('');
    await close();
  });

  it('keeps its numbers through a reload, the way back, and a closed tab', async () => {
    const { page, context, close } = await visit();
    await page.goto(raise());
    await put(page, 'Salinity wanted', '35,5');
    await page.reload();
    await page.waitForSelector('.answer');
    expect(await number(page, 'Salinity wanted').inputValue()).toBe('35,5');
    await page.getByRole('main').getByRole('link', { name: 'Mixing room' }).click();
    await page.getByRole('heading', { name: 'Used last' }).waitFor();
    await page.goBack();
    expect(await number(page, 'Salinity wanted').inputValue()).toBe('35,5');
    const other = await context.newPage();
    await page.close();
    await other.goto(raise());
    expect(await number(other, 'Salinity wanted').inputValue()).toBe('35,5');
    await close();
  });

  it('can be handed on as a link, which throws nothing away', async () => {
    const { page, context, close } = await visit();
    await context.grantPermissions(['clipboard-read', 'clipboard-write']);
    await page.goto(raise());
    await put(page, 'Salinity wanted', '36');
    await page.getByRole('button', { name: 'Link to this sheet' }).click();
    await page.getByText('The link is copied').waitFor();
    const link = await page.evaluate(() => navigator.clipboard.readText());
    expect(new URL(link).searchParams.get('to')).toBe('36');
    expect(new URL(link).searchParams.get('litres')).toBe('212 ± 11');
    await put(page, 'Salinity wanted', '35.2');
    await page.goto(link);
    await page.getByText('These numbers came with the link.').waitFor();
    expect(await number(page, 'Salinity wanted').inputValue()).toBe('36');
    expect(new URL(page.url()).search).toBe('');
    await page.getByRole('button', { name: 'Put back what stood here' }).click();
    expect(await number(page, 'Salinity wanted').inputValue()).toBe('35.2');
    await close();
  });

  it('remembers the unit for the next sheet, and answers in it', async () => {
    const { page, close } = await visit();
    await page.goto(raise());
    await choose(page, 'Water in the system: unit', 'US gal');
    expect(await number(page, 'Water in the system').inputValue()).toBe('56');
    await page.goto(`${server.address}/mixing/lower-salinity`);
    await put(page, 'Salinity now', '37');
    await put(page, 'Salinity wanted', '35');
    expect((await figures(page))['Fresh water to add, nothing taken out']).toMatch(/US gal$/);
    await close();
  });

  it('writes what was done into the tank’s journal before it says so, once, and undoes it', async () => {
    const { page, close } = await visit();
    await page.goto(`${server.address}/mixing/water-changes`);
    await put(page, 'Nitrate now', '80');
    await put(page, 'Nitrate wanted', '20');
    await put(page, 'Changes', '2');
    const boxes = page.getByRole('checkbox');
    expect(await boxes.evaluateAll((all) => all.map((box) => (box as HTMLInputElement).checked))).toEqual([
      true,
      false,
    ]);
    await page.getByRole('button', { name: 'Write it down', exact: true }).click();
    await page.getByRole('status').filter({ hasText: 'Written down' }).waitFor();
    const [line] = await keptLines(page, 1);
    expect(line).toMatchObject({ kind: 'exchange', body: { litres: 106, salinity: 34.5 } });
    expect(await page.getByRole('button', { name: 'Write it down', exact: true }).count()).toBe(0);
    await page.reload();
    await page.getByText('This stands in the journal already.').waitFor();
    expect(await page.getByRole('button', { name: 'Write it down', exact: true }).count()).toBe(0);
    await page.getByRole('button', { name: 'Write it down again' }).click();
    await page.getByRole('status').filter({ hasText: 'Written down' }).waitFor();
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByText('Undone: struck out in the journal.').waitFor();
    const [strike] = await keptLines(page, 1);
    expect(strike).toMatchObject({ kind: 'strike' });
    await close();
  });

  it('does not take a salinity that is hoped for as one that was read', async () => {
    const { page, close } = await visit();
    await page.goto(raise());
    await put(page, 'Salinity wanted', '35');
    await page.getByRole('button', { name: 'Write it down', exact: true }).click();
    await page.getByRole('status').filter({ hasText: 'Written down' }).waitFor();
    expect((await keptLines(page, 1)).map(({ kind }) => kind)).toEqual(['note']);
    await close();
  });

  it('speaks its answer, and can be used with the keyboard alone', async () => {
    const { page, close } = await visit({ width: 1280 });
    await page.goto(`${server.address}/mixing`);
    await page.waitForSelector('.sheets');
    await page.getByRole('textbox', { name: 'What do you want to do?' }).focus();
    await page.keyboard.type('raise the salinity');
    await page.keyboard.press('Enter');
    await page.getByRole('heading', { level: 1, name: 'Raise the salinity of a tank' }).waitFor();
    for (let i = 0; i < 30; i += 1) {
      await page.keyboard.press('Tab');
      if (await number(page, 'Salinity wanted').evaluate((box) => box === document.activeElement)) break;
    }
    await page.keyboard.type('35');
    await page
      .getByRole('status')
      .filter({ hasText: /^Salt mix in all: \d/ })
      .waitFor();
    await page.keyboard.press('Tab');
    await page.keyboard.press('Enter');
    await page.keyboard.type('0.2');
    expect(await page.getByLabel('Salinity wanted: give or take').inputValue()).toBe('0.2');
    await close();
  });

  it('works without a network from the second visit on', async () => {
    const { page, context, close } = await visit();
    await page.goto(server.address);
    await page.evaluate(() => navigator.serviceWorker.ready);
    await context.setOffline(true);
    await find(page, 'raise', 'Raise the salinity of a tank');
    await put(page, 'Salinity wanted', '35');
    await figures(page);
    await close();
  });

  it('prints its answer with all of its working', async () => {
    const { page, close } = await visit({ width: 1280 });
    await page.goto(`${raise()}?to=35`);
    await figures(page);
    await page.evaluate(() => dispatchEvent(new Event('beforeprint')));
    await page.emulateMedia({ media: 'print' });
    await page.getByText('Step by step').waitFor();
    expect(await page.locator('.asking').isVisible()).toBe(false);
    expect(await page.locator('.writing').isVisible()).toBe(false);
    await page.screenshot({ path: screen('mixing-print'), fullPage: true });
    await close();
  });
});

const LOOKS = [
  { width: 390, colorScheme: 'light' },
  { width: 390, colorScheme: 'dark' },
  { width: 1280, colorScheme: 'light' },
  { width: 1280, colorScheme: 'dark' },
] as const;

/** Sheets that between them show every kind of field and every part of an answer. */
const STATES = [
  ['room', '/mixing'],
  ['changes', '/mixing/water-changes?nitrate=80+NO3&target=20+NO3&changes=2'],
  ['gate', '/mixing/ammonia-from-bottle?strength=10+%25+NH3'],
  ['faults', '/mixing/hydrometer?reading=1.2&scale=7'],
  ['blend', '/mixing/blend-waters'],
  ['everything', '/mixing/one-water?ph=8.1&ammonia=1+mg/L+N'],
  ['lost', '/mixing/nothing-of-the-kind'],
] as const;

describe('the mixing room can be used by everyone', () => {
  it.each(LOOKS)('at $width px in the $colorScheme', async (look) => {
    const seen = await visit({ ...look, height: 844 });
    const found = await faultsOf(
      seen,
      async (page, name) => {
        if (name === 'changes' || name === 'everything') await page.locator('.answer summary').click();
      },
      `${look.width}-${look.colorScheme}`,
    );
    expect(found).toEqual([]);
    await seen.close();
  });

  it('nothing runs off a page 320 px wide, and every target is large enough for a wet thumb', async () => {
    const { page, close } = await visit({ width: 320, height: 640 });
    for (const [name, path] of STATES) {
      await page.goto(server.address + path);
      await page.waitForSelector('h1');
      const overhang = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      expect(`${name} ${overhang}`).toBe(`${name} 0`);
      for (const target of await page
        .locator('main :is(button, select, input[type=text], summary, .gist)')
        .all()) {
        const box = await target.boundingBox();
        if (box === null) continue;
        expect(box.height, `${name}: ${await target.getAttribute('aria-label')}`).toBeGreaterThanOrEqual(44);
        expect(box.width).toBeGreaterThanOrEqual(40);
      }
    }
    await close();
  });
});

async function faultsOf(
  { page }: Visit,
  open: (page: Page, name: string) => Promise<void>,
  look: string,
): Promise<readonly string[]> {
  const found: string[] = [];
  for (const [name, path] of STATES) {
    await page.goto(server.address + path);
    await page.waitForSelector('h1');
    await open(page, name);
    await page.evaluate(() => document.fonts.ready);
    // As tall as the page, so that the line kept at the foot of the screen covers nothing.
    const tall = await page.evaluate(() => document.documentElement.scrollHeight);
    const { width = 390, height = 844 } = page.viewportSize() ?? {};
    await page.setViewportSize({ width, height: tall });
    for (const broken of await rulesBroken(page)) found.push(`${name}: ${broken}`);
    await page.screenshot({ path: screen(`mixing-${name}-${look}`), fullPage: true });
    await page.setViewportSize({ width, height });
  }
  return found;
}
