import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { type AddressInfo, createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { PASSWORD } from './support/people.ts';
import { builtProgram, type Running, startProgram } from './support/program.ts';

const tools: { ensureChromium(): Promise<string> } = await import(
  new URL('../../../tools/support/debian.mjs', import.meta.url).href
);
const flags = ['--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking'];

let program: string;
let data: string;
let origin: string;
let running: Running;
let browser: Browser;
let page: Page;

async function freePort(): Promise<number> {
  const probe = createServer().listen(0, '127.0.0.1');
  await once(probe, 'listening');
  const { port } = probe.address() as AddressInfo;
  probe.close();
  return port;
}

beforeAll(async () => {
  program = await builtProgram();
  data = mkdtempSync(join(tmpdir(), 'brinewright-door-'));
  const port = await freePort();
  origin = `http://localhost:${port}`;
  const args = ['--data', data, '--shared', '--origin', origin, '--port', String(port)];
  running = await startProgram(program, args);
  browser = await chromium.launch({ executablePath: await tools.ensureChromium(), args: flags });
  page = await browser.newPage();
  const session = await page.context().newCDPSession(page);
  await session.send('WebAuthn.enable');
  await session.send('WebAuthn.addVirtualAuthenticator', {
    options: {
      protocol: 'ctap2',
      transport: 'internal',
      hasResidentKey: true,
      hasUserVerification: true,
      isUserVerified: true,
      automaticPresenceSimulation: true,
    },
  });
}, 300_000);

afterAll(async () => {
  await browser?.close();
  running?.process.kill('SIGKILL');
  await running?.ended;
  rmSync(data, { recursive: true, force: true });
  const folder = dirname(dirname(dirname(fileURLToPath(new URL(`../../../${program}`, import.meta.url)))));
  rmSync(folder, { recursive: true, force: true });
});

const self = () =>
  page.evaluate(async () => {
    const response = await fetch('/api/self');
    return response.ok ? (await response.json()).name : response.status;
  });
const signOut = () => page.evaluate(() => fetch('/api/sessions/current', { method: 'DELETE' }));

describe('the door, in a browser', () => {
  it('opens the first account with a passkey, and lets it in again', async () => {
    const faults: string[] = [];
    page.on('pageerror', (error) => faults.push(error.message));
    page.on('console', (line) => line.type() === 'error' && faults.push(line.text()));
    await page.goto(await running.line(/^Open the first account within a day at (\S+)$/));
    await page.getByLabel('Your name').fill('Ines');
    await page.getByRole('button', { name: 'Make a passkey' }).click();
    await page.waitForURL(`${origin}/`);
    expect(await self()).toBe('Ines');
    await signOut();
    expect(await self()).toBe(401);
    faults.length = 0;
    await page.goto(`${origin}/sign-in`);
    await page.getByRole('button', { name: 'Use a passkey' }).click();
    await page.waitForURL(`${origin}/`);
    expect(await self()).toBe('Ines');
    expect(faults).toEqual([]);
  }, 30_000);

  it('takes a password too, and says what is wrong with one', async () => {
    await page.evaluate(
      (password) =>
        fetch('/api/self/password', {
          method: 'PUT',
          headers: { 'Content-Type': 'application/json' },
          body: JSON.stringify({ password }),
        }),
      PASSWORD,
    );
    await signOut();
    await page.goto(`${origin}/sign-in`);
    await page.getByLabel('Name').fill('Ines');
    await page.getByLabel('Password').fill('not this one');
    await page.getByRole('button', { name: 'Use the password' }).click();
    await expect.poll(() => page.getByRole('alert').textContent()).toContain('do not fit');
    await page.getByLabel('Password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Use the password' }).click();
    await page.waitForURL(`${origin}/`);
    expect(await self()).toBe('Ines');
  }, 30_000);
});
