import { readFileSync } from 'node:fs';
import { type Entry, parseJournal } from '@brinewright/journal';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { keptLines, reckoned, startServer, visit } from './support.ts';

const file = new URL(
  '../../../../packages/evidence/test/records/02-salt-food-late-nitrite.ndjson',
  import.meta.url,
);
const { entries: record } = parseJournal(readFileSync(file, 'utf8'));

let server: Awaited<ReturnType<typeof startServer>>;
beforeAll(async () => {
  server = await startServer();
});
afterAll(() => server.stop());

const bodyOf = (entry: Entry) => entry.body as Readonly<Record<string, never>>;
const SHOWN = { ammonia: 'Ammonia', nitrite: 'Nitrite', nitrate: 'Nitrate' } as const;

/** What a field for a time takes: the record's instants are in UTC, as the browser's zone was that month. */
const typed = (at: string) => at.slice(0, 16);

async function openTank(page: Page, { at, body }: Entry): Promise<void> {
  const { name, litres, temperatureC, salinity } = body as Readonly<Record<string, unknown>> & {
    readonly litres: { readonly value: number; readonly sd: number };
  };
  await page.goto(`${server.address}/new`);
  await page.getByLabel('Name').fill(String(name));
  await page.getByLabel('Water in the whole system').fill(String(litres.value));
  await page.getByLabel('Give or take').fill(String(litres.sd));
  await page.getByLabel('Salinity').fill(String(salinity));
  await page.getByLabel('Temperature').fill(String(temperatureC));
  await page.getByLabel('Day 0').fill(typed(at));
  await page.getByLabel('Decaying food').check();
  for (const kit of await page.getByRole('checkbox').all()) await kit.setChecked(false);
  await page.getByRole('button', { name: 'Open the tank' }).click();
  await page.waitForURL(/\/tank\//);
}

async function describeKit(page: Page, entry: Entry): Promise<void> {
  const { kit, analyte, as, steps } = bodyOf(entry) as unknown as Record<string, string> & {
    readonly steps: readonly number[];
  };
  await page.getByLabel('Called').fill(kit ?? '');
  await page.getByLabel('It measures').selectOption(analyte ?? '');
  await page.getByLabel('Its number counts').selectOption(as ?? '');
  await page.getByLabel('Steps on its card').fill((steps as readonly number[]).join(' '));
  await page.getByRole('button', { name: 'Write the kit down' }).click();
  await page.getByText(`Written down: ${kit}.`).waitFor();
}

async function tapReading(page: Page, entry: Entry): Promise<void> {
  const { analyte, value, between } = entry.body as {
    readonly analyte: string;
    readonly value?: number;
    readonly between?: readonly number[];
  };
  if (analyte === 'temperature') {
    await page.getByText('Probes and other numbers').click();
    await page.getByRole('textbox', { name: 'Temperature', exact: true }).fill(String(value));
    return;
  }
  const row = page.getByRole('region', { name: SHOWN[analyte as keyof typeof SHOWN], exact: true });
  for (const step of between ?? [value])
    await row.getByRole('button', { name: String(step), exact: true }).click();
}

async function writeDeed(page: Page, { kind, body }: Entry): Promise<void> {
  const { source, what } = body as { readonly source?: string; readonly what?: string };
  const title = kind === 'culture' ? 'Culture of bacteria' : 'Food';
  const form = page.locator('details', { has: page.locator('summary', { hasText: title }) });
  await form.locator('summary').click();
  await form.getByLabel('What', { exact: true }).selectOption(source ?? what ?? '');
  await form.getByRole('button', { name: `Write it down: ${title.toLowerCase()}` }).click();
  await form.getByRole('status').filter({ hasText: 'Written down' }).waitFor();
}

const asOf = (at: string) => new Date(at).toISOString();
const told = (entries: readonly Entry[]) =>
  entries
    .filter(({ kind }) => kind !== 'tank')
    .map(({ kind, at, body }) =>
      JSON.stringify([asOf(kind === 'kit' ? '2025-03-01' : at), kind, Object.entries(body).sort()]),
    )
    .sort();

it('takes a record somebody kept elsewhere, entry by entry, and has every one of them as it was', async () => {
  const { page, close } = await visit();
  const [tank] = record.filter(({ kind }) => kind === 'tank');
  if (tank === undefined) throw new Error('the record opens no tank');
  await openTank(page, tank);
  const place = new URL(page.url()).pathname;
  await page.goto(`${server.address}/workshop?tank=${place.split('/').at(-1)}#kits`);
  await page.getByText('Add a kit').click();
  for (const kit of record.filter(({ kind }) => kind === 'kit')) await describeKit(page, kit);

  const later = record.filter(({ kind }) => kind !== 'tank' && kind !== 'kit');
  for (const at of new Set(later.map((entry) => entry.at))) {
    const entries = later.filter((entry) => entry.at === at);
    await page.goto(`${server.address}${place}/bench`);
    await page.waitForSelector('.kit');
    await page.getByRole('button', { name: 'Earlier' }).click();
    await page.getByLabel('It happened at').fill(typed(at));
    for (const deed of entries.filter(({ kind }) => kind !== 'reading')) await writeDeed(page, deed);
    const readings = entries.filter(({ kind }) => kind === 'reading');
    for (const reading of readings) await tapReading(page, reading);
    if (readings.length === 0) continue;
    await page.getByRole('button', { name: 'Write it down', exact: true }).click();
    await page.locator('.write').getByText('Written down').waitFor();
  }

  const kept = (await keptLines(page)).map((line) => JSON.parse(line) as Entry);
  const own = kept.filter(({ tank: id }) => place.endsWith(id));
  expect(told(own)).toEqual(told(record));
  expect(own.find(({ kind }) => kind === 'tank')?.body).toMatchObject(tank.body);
  await page.goto(server.address + place);
  await reckoned(page);
  await close();
});
