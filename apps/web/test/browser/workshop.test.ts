import { readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { reckoned, SKERRY, startServer, textOf, visit } from './support.ts';

let server: Awaited<ReturnType<typeof startServer>>;
// What one visit brings in would reach the next through the server: each has a server of its own.
beforeEach(async () => {
  server = await startServer();
});
afterEach(() => server.stop());

const TANK = '0197b000-0000-7000-8000-0000000000c1';
const line = (n: number, kind: string, body: object) =>
  JSON.stringify({
    id: `0197b000-000${n}-7000-8000-0000000000c2`,
    tank: TANK,
    at: '2026-10-01T09:00:00+01:00',
    kind,
    body,
  });

const journal = [
  '{"journal":1}',
  line(1, 'tank', {
    name: 'Gully',
    litres: { value: 90, sd: 9 },
    salinity: 35,
    temperatureC: 24,
    opened: '2026-10-01T09:00:00+01:00',
  }),
  line(2, 'reading', { analyte: 'ammonia', as: 'N', value: -3 }),
  line(3, 'lunar', { phase: 'full' }),
  'not an entry at all',
  '',
].join('\n');

describe('the workshop', () => {
  it('brings in a journal, tells every line that is wrong, and keeps what it does not know', async () => {
    const { page, close } = await visit();
    await page.goto(`${server.address}/workshop`);
    await page.getByLabel('Journal file').setInputFiles({
      name: 'gully.ndjson',
      mimeType: 'application/x-ndjson',
      buffer: Buffer.from(journal),
    });
    await page.getByText('2 entries brought in.').waitFor();
    const faults = await page.locator('.faults > li').allTextContents();
    expect(faults).toHaveLength(2);
    expect(faults[0]).toContain('line 3');
    expect(faults[1]).toContain('line 5');
    await page.goto(`${server.address}/tank/${TANK}`);
    await page.getByText('a kind this version does not know: “lunar”').waitFor();
    expect(await textOf(page, '.diary')).toContain('named Gully, 90 ± 9 L');
    await close();
  });

  it('sends out a file that holds every entry and can be brought in again without writing anything twice', async () => {
    const { page, close } = await visit();
    await page.goto(`${server.address}/workshop`);
    const [sent] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Send out', exact: true }).click(),
    ]);
    const path = await sent.path();
    const lines = readFileSync(path, 'utf8').trimEnd().split('\n');
    expect(lines[0]).toBe('{"journal":1}');
    expect(lines).toHaveLength(32);
    await page.getByLabel('Journal file').setInputFiles(path);
    await page.getByText('0 entries brought in; 31 were here already.').waitFor();
    await close();
  });

  it('describes a kit, and the bench then has a row for it', async () => {
    const { page, close } = await visit();
    await page.goto(`${server.address}/workshop`);
    await page.getByText('Add a kit').click();
    await page.getByLabel('Called').fill('Fine nitrite card');
    await page.getByLabel('It measures').selectOption('nitrite');
    await page.getByLabel('Steps on its card').fill('0 0.1 0.05');
    await page.getByRole('button', { name: 'Write the kit down' }).click();
    await page.getByText('at least two rising numbers').waitFor();
    await page.getByLabel('Steps on its card').fill('0 0,02 0,05 0,1');
    await page.getByRole('button', { name: 'Write the kit down' }).click();
    await page.getByText('Written down: Fine nitrite card.').waitFor();
    await page.goto(`${server.address}${SKERRY}/bench`);
    await page.getByRole('button', { name: '0.02', exact: true }).waitFor();
    await close();
  });

  it('prints in the units the reader likes and leaves the journal alone', async () => {
    const { page, close } = await visit();
    await page.goto(`${server.address}/workshop`);
    await page.getByLabel('US gallons').check();
    await page.getByLabel('°F').check();
    await page.goto(server.address + SKERRY);
    await reckoned(page);
    const diary = await textOf(page, '.diary');
    expect(diary).toContain('56 ± 2.9 gal');
    expect(diary).toContain('77.9 °F');
    await close();
  });

  it('opens a new tank that stands in the rounds after a reload', async () => {
    const { page, close } = await visit();
    await page.goto(`${server.address}/new`);
    await page.getByRole('button', { name: 'Open the tank' }).click();
    await page.getByText('Give the tank a name').waitFor();
    await page.getByLabel('Name').fill('Cove');
    await page.getByLabel('Water in the whole system').fill('180');
    await page.reload();
    await page.waitForSelector('h1');
    expect(await page.getByLabel('Name').inputValue()).toBe('Cove');
    await page.getByRole('button', { name: 'Open the tank' }).click();
    await page.waitForURL(/\/tank\//);
    expect(await textOf(page, '.diary')).toContain('named Cove, 180 ± 18 L');
    await page.goto(server.address);
    await page.getByText('Needs you first', { exact: true }).waitFor();
    await page.getByRole('link', { name: 'Write something down: Cove' }).waitFor();
    await close();
  });
});
