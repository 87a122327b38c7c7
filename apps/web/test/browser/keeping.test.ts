import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { extname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { keptLines, reckoned, SKERRY, startServer, visit } from './support.ts';

let server: Awaited<ReturnType<typeof startServer>>;
beforeAll(async () => {
  server = await startServer();
});
afterAll(() => server.stop());

const bench = () => `${server.address}${SKERRY}/bench`;
const nitrite = (page: Page, step: string) =>
  page.getByRole('region', { name: 'Nitrite', exact: true }).getByRole('button', { name: step, exact: true });
const write = (page: Page) => page.getByRole('button', { name: 'Write it down', exact: true });

/** Ends a page as a crash of its process would. */
async function crash(page: Page): Promise<void> {
  const session = await page.context().newCDPSession(page);
  const crashed = page.waitForEvent('crash');
  session.send('Page.crash').catch(() => undefined);
  await crashed;
  await page.close();
}

describe('a tab killed while it writes', () => {
  it('has written nothing by halves, and all that was chosen is still on the bench', async () => {
    const { page, context, close } = await visit();
    await page.goto(bench());
    await page.waitForSelector('.kit');
    await page.evaluate(() => {
      // Holds every transaction open that adds something, so that the end comes in its middle.
      const { add } = IDBObjectStore.prototype;
      IDBObjectStore.prototype.add = function (...args) {
        const hold = (): void => {
          this.count().onsuccess = hold;
        };
        hold();
        document.title = 'writing';
        return add.apply(this, args);
      };
    });
    await nitrite(page, '2').click();
    await write(page).click();
    await page.waitForFunction(() => document.title === 'writing');
    await crash(page);
    const after = await context.newPage();
    await after.goto(bench());
    await after.waitForSelector('.kit');
    expect((await keptLines(after)).length).toBe(31);
    expect(await nitrite(after, '2').getAttribute('aria-pressed')).toBe('true');
    await write(after).click();
    await after.getByRole('status').filter({ hasText: 'Written down' }).waitFor();
    expect((await keptLines(after)).length).toBe(32);
    await close();
  });

  it('does not offer again what the disk had just taken', async () => {
    const { page, context, close } = await visit();
    await page.goto(bench());
    await page.waitForSelector('.kit');
    await page.evaluate(() => {
      const { add } = IDBObjectStore.prototype;
      IDBObjectStore.prototype.add = function (...args) {
        // Stops the page in the very moment the disk says that it has the entry, before the page can say so.
        this.transaction.addEventListener('complete', (event) => {
          event.stopImmediatePropagation();
          document.title = 'kept';
        });
        return add.apply(this, args);
      };
      const { addEventListener } = IDBTransaction.prototype;
      IDBTransaction.prototype.addEventListener = function (this: IDBTransaction, ...args: unknown[]) {
        const late = args[0] === 'complete' && !String(args[1]).includes('stopImmediatePropagation');
        return late ? undefined : addEventListener.apply(this, args as Parameters<typeof addEventListener>);
      };
    });
    await nitrite(page, '2').click();
    await write(page).click();
    await page.waitForFunction(() => document.title === 'kept');
    expect(await page.getByRole('status').filter({ hasText: 'Written down' }).count()).toBe(0);
    await crash(page);
    const after = await context.newPage();
    await after.goto(bench());
    await after.waitForSelector('.kit');
    expect((await keptLines(after)).length).toBe(32);
    expect(await nitrite(after, '2').getAttribute('aria-pressed')).toBe('false');
    await close();
  });
});

describe('a full disk', () => {
  it('is told in plain words, keeps what was typed, and takes it once there is room', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'brinewright-full-'));
    const before = await visit({ folder });
    await before.page.goto(bench());
    await before.page.waitForSelector('.kit');
    await before.close();
    // A browser grants a page that has written lately some room in advance: only a fresh start meets the full disk.
    const { page, context, close } = await visit({ folder });
    const session = await context.newCDPSession(page);
    await session.send('Storage.overrideQuotaForOrigin', { origin: server.address, quotaSize: 1 });
    await page.goto(bench());
    const text = 'The skimmer overflowed in the night. '.repeat(20_000);
    await page.getByText('Note', { exact: true }).click();
    await page.getByLabel('What happened').fill(text);
    await page.getByRole('button', { name: 'Write it down: note' }).click();
    await page.getByRole('status').filter({ hasText: 'Not written' }).waitFor();
    expect(await page.getByLabel('What happened').inputValue()).toBe(text);
    expect((await keptLines(page)).length).toBe(31);
    await session.send('Storage.overrideQuotaForOrigin', { origin: server.address });
    await page.getByRole('button', { name: 'Write it down: note' }).click();
    await page.getByRole('status').filter({ hasText: 'Written down' }).waitFor();
    expect((await keptLines(page)).length).toBe(32);
    await close();
    rmSync(folder, { recursive: true, force: true });
  });
});

describe('a copy of the journal', () => {
  it('is asked for once there is something to lose, made with one tap, and holds every entry', async () => {
    const { page, close } = await visit();
    await page.goto(`${server.address}/workshop`);
    await page.getByText('No copy has been made on this device yet.').waitFor();
    expect(await page.locator('.notice').count()).toBe(0);
    const tank = '0197b000-0000-7000-8000-0000000000e1';
    const notes = Array.from({ length: 12 }, (_, n) =>
      JSON.stringify({
        id: `0197b000-${String(n).padStart(4, '0')}-7000-8000-0000000000e2`,
        tank,
        at: '2026-10-01T09:00:00+01:00',
        ...(n === 0
          ? { kind: 'tank', body: { name: 'Gully', opened: '2026-10-01T09:00:00+01:00' } }
          : { kind: 'note', body: { text: `note ${n}` } }),
      }),
    );
    await page.getByLabel('Journal file').setInputFiles({
      name: 'gully.ndjson',
      mimeType: 'application/x-ndjson',
      buffer: Buffer.from(['{"journal":1}', ...notes].join('\n')),
    });
    const notice = page.locator('.notice');
    await notice.getByText('No copy of this journal has been kept anywhere else yet.').waitFor();
    const [copy] = await Promise.all([
      page.waitForEvent('download'),
      notice.getByRole('button', { name: 'Keep a copy' }).click(),
    ]);
    expect(
      readFileSync(await copy.path(), 'utf8')
        .trimEnd()
        .split('\n'),
    ).toHaveLength(1 + 31 + 12);
    await notice.getByText('Copied out as brinewright-').waitFor();
    await page.reload();
    await page.getByText('The last copy was made just now.').waitFor();
    expect(await notice.count()).toBe(0);
    await close();
  });
});

describe('a newer version', () => {
  const site = mkdtempSync(join(tmpdir(), 'brinewright-site-'));
  let pages: Server;
  let address: string;
  beforeAll(async () => {
    cpSync(fileURLToPath(new URL('../../dist/site/', import.meta.url)), site, { recursive: true });
    pages = createServer(({ url = '/' }, response) => {
      const name = extname(url) === '' ? 'index.html' : url;
      response.setHeader('Content-Type', TYPES[extname(name)] ?? 'application/octet-stream');
      response.end(readFileSync(join(site, name)));
    }).listen(0, '127.0.0.1');
    await new Promise((resolve) => pages.once('listening', resolve));
    address = `http://127.0.0.1:${(pages.address() as AddressInfo).port}`;
  });
  afterAll(() => {
    pages.close();
    rmSync(site, { recursive: true, force: true });
  });

  it('is offered when it lies ready, and changed to when a person says so, in every tab, with all that was typed', async () => {
    const { page, context, close } = await visit();
    await page.goto(address + SKERRY);
    await page.evaluate(() => navigator.serviceWorker.ready);
    await page.goto(`${address}${SKERRY}/bench`);
    await page.waitForSelector('.kit');
    const other = await context.newPage();
    await other.goto(address + SKERRY);
    await reckoned(other);

    const worker = readFileSync(join(site, 'service-worker.js'), 'utf8');
    const [, old = ''] = /caches\.open\([`"']([0-9a-f]{12})/.exec(worker) ?? [];
    expect(old).not.toBe('');
    writeFileSync(join(site, 'service-worker.js'), worker.replaceAll(old, 'fedcba987654'));
    const html = readFileSync(join(site, 'index.html'), 'utf8');
    writeFileSync(
      join(site, 'index.html'),
      html.replace('<html lang="en"', '<html lang="en" data-newer="yes"'),
    );

    await nitrite(page, '2').click();
    await page.evaluate(async () => (await navigator.serviceWorker.getRegistration())?.update());
    await page.getByText('A newer version of Brinewright lies ready').waitFor();
    expect(await page.evaluate(() => document.documentElement.dataset.newer)).toBeUndefined();
    await page.getByRole('button', { name: 'Change to it now' }).click();
    await page.waitForFunction(() => document.documentElement.dataset.newer === 'yes');
    await other.waitForFunction(() => document.documentElement.dataset.newer === 'yes');
    await page.waitForSelector('.kit');
    expect(await nitrite(page, '2').getAttribute('aria-pressed')).toBe('true');
    expect(await page.locator('.notice').count()).toBe(0);
    await close();
  });
});

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.webmanifest': 'application/manifest+json',
};
