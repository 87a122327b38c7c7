import { readFileSync } from 'node:fs';
import { learnKits, reckon, sheetOf } from '@brinewright/counsel';
import { type Entry, foldTank, parseJournal, type TankId } from '@brinewright/journal';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import type { Shelved } from '../../src/state/shelf.ts';
import { reckoned, SKERRY, startServer, visit } from './support.ts';

const text = readFileSync(new URL('../../src/demo/skerry.ndjson', import.meta.url), 'utf8');
const DAY_MS = 86_400_000;
const tankAt = (i: number) => `0197d000-0000-7000-8000-00000000000${i}` as TankId;
const GULLY = tankAt(1);

let server: Awaited<ReturnType<typeof startServer>>;
beforeAll(async () => {
  server = await startServer();
});
afterAll(() => server.stop());

/** Three tanks with the demonstration's story and its kits, the last entry of each within a day before now. */
function threeTanks(): string {
  const { entries } = parseJournal(text);
  const days = Math.floor((Date.now() - Math.max(...entries.map(({ at }) => Date.parse(at)))) / DAY_MS);
  const moved = text.replaceAll(/2026-03-\d\dT[\d:]+\+00:00/g, (at) =>
    new Date(Date.parse(at) + days * DAY_MS).toISOString(),
  );
  const [head = '', ...lines] = moved.trimEnd().split('\n');
  const named = ['Gully', 'Ledge', 'Pool'].flatMap((name, i) =>
    lines.map((line) =>
      line
        .replace('0197a000-0000-7000-8000-0000000000a1', tankAt(i + 1))
        .replace(/"id":"0197a000/, `"id":"0197d00${i}`)
        .replace('"Skerry"', `"${name}"`),
    ),
  );
  return [head, ...named].join('\n');
}

/** What lies on the shelf of the page for a tank, maps as lists of what they hold; undefined where there is nothing. */
async function onShelf<T>(page: Page, table: string, tank: string): Promise<T | undefined> {
  const found = await page.evaluate(
    ([name, key]) =>
      new Promise<string>((resolve, reject) => {
        const request = indexedDB.open('brinewright-answers');
        request.onerror = () => reject(request.error);
        request.onsuccess = () => {
          const asked = request.result.transaction(name).objectStore(name).get(key);
          asked.onerror = () => reject(asked.error);
          asked.onsuccess = () => {
            request.result.close();
            resolve(
              JSON.stringify(asked.result ?? null, (_, value) => (value instanceof Map ? [...value] : value)),
            );
          };
        };
      }),
    [table, tank] as const,
  );
  return (JSON.parse(found) as T | null) ?? undefined;
}

interface Shelf {
  readonly state: string;
  readonly lore: readonly (readonly [string, unknown])[];
}

function finished<T>(steps: Generator<unknown, T>): T {
  for (let step = steps.next(); ; step = steps.next()) if (step.done) return step.value;
}

it('learns the kits of a tank from the keeper’s other tanks, never from the demonstration, to the same figures as the terminal', async () => {
  const { page, close } = await visit();
  const file = threeTanks();
  await page.goto(`${server.address}/workshop`);
  await page
    .getByLabel('Journal file')
    .setInputFiles({ name: 'three.ndjson', mimeType: 'application/x-ndjson', buffer: Buffer.from(file) });
  await page.getByText('entries brought in').waitFor();
  await page.goto(`${server.address}/tank/${GULLY}`);
  await reckoned(page);
  const learnt = () => onShelf<Shelf>(page, 'lores', GULLY);
  await expect.poll(learnt, { timeout: 60_000 }).toBeDefined();
  const lore = await learnt();
  expect(lore?.state).toContain(tankAt(2));
  expect(lore?.state).toContain(tankAt(3));
  expect(lore?.state).not.toContain(SKERRY.replace('/tank/', ''));

  const { entries } = parseJournal(file);
  const factsOf = (tank: TankId) => foldTank(entries as Entry[], tank);
  const others = [2, 3].map((i) => factsOf(tankAt(i)));
  const last = Math.max(...entries.map(({ at }) => Date.parse(at)));
  const own = finished(learnKits(factsOf(GULLY), others, { asOf: last, seed: 20_261 }));
  expect(own.size).toBeGreaterThan(2);
  expect(lore?.lore).toEqual([...own]);
  const same = async () => {
    const shelved = await onShelf<Shelved>(page, 'answers', GULLY);
    const options = { asOf: shelved?.reckonedAt ?? 0, seed: 20_261, days: 90, lore: own };
    return (
      shelved?.sheet.course.fit.logEvidence ===
      sheetOf(finished(reckon(factsOf(GULLY), options))).course.fit.logEvidence
    );
  };
  await expect.poll(same, { timeout: 60_000, interval: 500 }).toBe(true);
  await close();
});
