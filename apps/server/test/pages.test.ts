import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { afterAll, describe, expect, it } from 'vitest';
import { readConfig } from '../src/config.ts';
import { pages } from '../src/pages.ts';
import { serveApp } from '../src/serve.ts';
import { readSite } from '../src/site.ts';

const folder = mkdtempSync(join(tmpdir(), 'brinewright-site-'));
mkdirSync(join(folder, 'assets'));
writeFileSync(join(folder, 'index.html'), '<!doctype html><title>the page</title>');
writeFileSync(join(folder, 'assets/index-abc.js'), 'export const a = 1;\n'.repeat(100));
writeFileSync(join(folder, 'mark.svg'), '<svg xmlns="http://www.w3.org/2000/svg"/>');
afterAll(() => rmSync(folder, { recursive: true }));

const app = pages(readSite(folder));

describe('pages', () => {
  it('answers every place with the page, to be asked for anew each time', async () => {
    for (const path of ['/', '/workshop', '/tank/0197a000-0000-7000-8000-0000000000a1/bench']) {
      const response = await app.request(path);
      expect(response.status).toBe(200);
      expect(await response.text()).toContain('the page');
      expect(response.headers.get('cache-control')).toBe('no-cache');
    }
  });

  it('lets files named after their content be kept for good, and sends them compressed', async () => {
    const response = await app.request('/assets/index-abc.js', {
      headers: { 'Accept-Encoding': 'br, gzip' },
    });
    expect(response.headers.get('cache-control')).toContain('immutable');
    expect(response.headers.get('content-encoding')).toBe('gzip');
    const bytes = new Uint8Array(await response.arrayBuffer());
    expect(gunzipSync(bytes).toString()).toContain('export const a = 1;');
  });

  it('does not answer a missing file with the page', async () => {
    expect((await app.request('/assets/index-gone.js')).status).toBe(404);
    expect((await app.request('/robots.txt')).status).toBe(404);
  });

  it('sends nothing again that the browser already holds', async () => {
    const first = await app.request('/mark.svg');
    const tag = first.headers.get('etag') ?? '';
    const again = await app.request('/mark.svg', { headers: { 'If-None-Match': tag } });
    expect(again.status).toBe(304);
    expect(await again.text()).toBe('');
  });

  it('forbids the page to run or reach anything that is not its own', async () => {
    const policy = (await app.request('/')).headers.get('content-security-policy') ?? '';
    expect(policy).toContain("default-src 'none'");
    const [scripts, others] = [
      policy.split('; ').filter((rule) => rule.startsWith('script-src')),
      policy.split('; ').filter((rule) => !rule.startsWith('script-src')),
    ];
    // The water model is compiled, never text that is evaluated.
    expect(scripts).toEqual(["script-src 'self' 'wasm-unsafe-eval'"]);
    expect(others.join('; ')).not.toContain('unsafe');
  });

  it('stays inside its folder', async () => {
    expect((await app.request('/assets/../../../etc/passwd')).status).not.toBe(500);
    expect(await (await app.request('/..%2f..%2fpackage.json')).text()).not.toContain('workspaces');
  });

  it('serves on a port of this machine until it is closed', async () => {
    const { address, close } = await serveApp({
      ...readConfig(['--port', '0', '--data', join(folder, 'data')], {}),
      folder,
      program: new URL('nowhere.js', import.meta.url),
      write: () => undefined,
    });
    expect(address).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/$/);
    expect(await (await fetch(address)).text()).toContain('the page');
    await close();
    await expect(fetch(address)).rejects.toThrow();
  });

  it('says what to do where the pages are not built', () => {
    expect(() => readSite(join(folder, 'nowhere'))).toThrow(/vite build apps\/web/);
  });
});
