import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { reckoned, SKERRY, startServer, visit } from './support.ts';

let server: Awaited<ReturnType<typeof startServer>>;
beforeAll(async () => {
  server = await startServer();
});
afterAll(() => server.stop());

interface Icon {
  readonly src: string;
  readonly sizes: string;
  readonly type: string;
  readonly purpose: string;
}

describe('the program on a home screen', () => {
  it('can be put there: the browser finds nothing missing in the manifest', async () => {
    const { page, context, close } = await visit();
    await page.goto(server.address + SKERRY);
    await reckoned(page);
    const session = await context.newCDPSession(page);
    const { errors, data, url } = await session.send('Page.getAppManifest');
    expect(errors).toEqual([]);
    const manifest = JSON.parse(data ?? '{}');
    expect(manifest).toMatchObject({
      name: 'Brinewright',
      start_url: '/',
      scope: '/',
      display: 'standalone',
    });
    const { installabilityErrors } = await session.send('Page.getInstallabilityErrors');
    // A window of a test is a private one to the browser, which installs from no such window.
    expect(installabilityErrors.filter(({ errorId }) => errorId !== 'in-incognito')).toEqual([]);
    const icons: readonly Icon[] = manifest.icons;
    expect(icons.some(({ sizes, purpose }) => sizes === '512x512' && purpose === 'maskable')).toBe(true);
    for (const { src, sizes, type } of icons) {
      const icon = await context.request.get(new URL(src, url).href);
      expect(icon.headers()['content-type']).toContain(type);
      if (type === 'image/png') expect(sizeOf(await icon.body())).toBe(sizes);
    }
    await close();
  });

  it('starts from there without a network once it was looked at, under its own worker', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'brinewright-installed-'));
    const first = await visit({ folder });
    await first.page.goto(server.address);
    await reckoned(first.page);
    await first.page.evaluate(() => navigator.serviceWorker.ready);
    await first.close();
    const again = await visit({ folder });
    await again.context.setOffline(true);
    await again.page.goto(`${server.address}/`);
    await again.page.getByRole('heading', { level: 1 }).waitFor();
    expect(
      await again.page.evaluate(() => new URL(navigator.serviceWorker.controller?.scriptURL ?? '').pathname),
    ).toBe('/service-worker.js');
    // Parts that are fetched only when they are wanted lie ready too.
    await again.page.goto(`${server.address}/mixing`);
    await again.page.getByRole('heading', { name: 'Mixing room' }).waitFor();
    await again.close();
    rmSync(folder, { recursive: true, force: true });
  });
});

/** Width and height of a PNG, from its header. */
function sizeOf(png: Buffer): string {
  return `${png.readUInt32BE(16)}x${png.readUInt32BE(20)}`;
}
