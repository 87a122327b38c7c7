import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { type Browser, chromium } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import './support/sameBytesPage.ts';

/** Finds the system's browser, or installs it where that is possible. */
const tools: { ensureChromium(): Promise<string>; browserFlags: readonly string[] } = await import(
  new URL('../../../tools/support/debian.mjs', import.meta.url).href
);

let server: Server;
let browser: Browser;

beforeAll(async () => {
  const { outputFiles } = await build({
    entryPoints: [fileURLToPath(new URL('./support/sameBytesPage.ts', import.meta.url))],
    bundle: true,
    write: false,
    format: 'iife',
    target: 'es2022',
    logLevel: 'silent',
  });
  const script = outputFiles[0]!.text;
  server = createServer((request, response) => {
    const isScript = request.url === '/script.js';
    response.setHeader('content-type', `${isScript ? 'text/javascript' : 'text/html'}; charset=utf-8`);
    // The policy a page of ours has: vectors need leave to be compiled.
    response.setHeader('content-security-policy', "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'");
    response.end(isScript ? script : '<!doctype html><title>bytes</title><script src="/script.js"></script>');
  });
  await new Promise<void>((ready) => server.listen(0, '127.0.0.1', ready));
  browser = await chromium.launch({
    executablePath: await tools.ensureChromium(),
    args: [...tools.browserFlags],
  });
}, 300_000);

afterAll(async () => {
  await browser?.close();
  server?.close();
});

it('answers with the same bytes in the browser and in Node', async () => {
  const page = await browser.newPage();
  await page.goto(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`);
  const inBrowser = await page.evaluate(() => globalThis.answersInBytes());
  expect(inBrowser).toEqual(globalThis.answersInBytes());
}, 120_000);
