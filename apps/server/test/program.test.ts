import { execFileSync, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { ConfigError, readConfig } from '../src/config.ts';
import { builtProgram, type Running, startProgram } from './support/program.ts';
import { note, startedTank, tankOf } from './support/tanks.ts';

const root = fileURLToPath(new URL('../../../', import.meta.url));
const parentProgram = fileURLToPath(new URL('./support/parent.ts', import.meta.url));

function isRunning(pid: number): boolean {
  try {
    return process.kill(pid, 0);
  } catch {
    return false;
  }
}

let program: string;
let data: string;
let running: Running | undefined;

beforeAll(async () => {
  program = await builtProgram();
  data = mkdtempSync(join(tmpdir(), 'brinewright-program-'));
});
afterEach(async () => {
  running?.process.kill('SIGKILL');
  await running?.ended;
});
afterAll(() => {
  rmSync(data, { recursive: true, force: true });
  const folder = dirname(dirname(dirname(fileURLToPath(new URL(`../../../${program}`, import.meta.url)))));
  rmSync(folder, { recursive: true, force: true });
});

const push = (address: string, entries: readonly object[]) =>
  fetch(`${address}api/tanks/${tankOf(1)}/entries`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ entries }),
  });

describe('the server as a program', () => {
  it('serves pages and answers, reckoned beside the main thread, and ends in good order', async () => {
    running = await startProgram(program, ['--data', data]);
    const { address } = running;
    expect(address).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/$/);
    expect(await (await fetch(address)).text()).toContain('the page');
    expect(
      (await push(address, startedTank(tankOf(1), 'North bench', Date.now() - 5 * 86_400_000))).status,
    ).toBe(200);
    const asking = fetch(`${address}api/tanks/${tankOf(1)}/course`);
    const began = performance.now();
    expect((await fetch(`${address}health`)).status).toBe(200);
    expect(performance.now() - began).toBeLessThan(500);
    expect((await (await asking).json()).tank).toBe(tankOf(1));
    running.process.kill('SIGTERM');
    expect(await running.ended).toBe(0);
    for (const line of running.said) expect(line).toMatch(/^\{.*"event":"request"/);
  }, 20_000);

  it('has everything it acknowledged after it was started again', async () => {
    running = await startProgram(program, ['--data', data]);
    await push(running.address, [note(tankOf(1), 7)]);
    running.process.kill('SIGKILL');
    await running.ended;
    running = await startProgram(program, ['--data', data]);
    const text = await (await fetch(`${running.address}api/journal`)).text();
    expect(text).toContain(note(tankOf(1), 7).id);
  }, 20_000);

  it('shared, says once where the first account is opened, in words and not in its log', async () => {
    const shared = ['--data', join(data, 'shared'), '--shared', '--origin', 'http://localhost:4270'];
    running = await startProgram(program, shared);
    const link = await running.line(
      /^Open the first account within a day at http:\/\/localhost:4270(\/join\/\S+)$/,
    );
    const page = await fetch(new URL(link, running.address));
    expect(await page.text()).toContain('the page');
    expect((await fetch(`${running.address}api/tanks`)).status).toBe(401);
    expect(running.said.join('')).not.toContain(link.split('/').at(-1));
  }, 20_000);

  it('refuses a body that is too large, whether its length is said or not, and goes on serving', async () => {
    running = await startProgram(program, ['--data', data]);
    const address = `${running.address}api/tanks/${tankOf(1)}/entries`;
    const headers = { 'Content-Type': 'application/json' };
    const large = Buffer.alloc(5 * 1024 * 1024, ' ');
    expect((await fetch(address, { method: 'POST', headers, body: large })).status).toBe(413);
    const parts = new ReadableStream({
      start(controller) {
        for (let start = 0; start < large.length; start += 65_536)
          controller.enqueue(large.subarray(start, start + 65_536));
        controller.close();
      },
    });
    const streamed = { method: 'POST', headers, body: parts, duplex: 'half' } as RequestInit;
    expect((await fetch(address, streamed)).status).toBe(413);
    expect((await push(running.address, [note(tankOf(1), 9)])).status).toBe(200);
  }, 20_000);

  it('ends when the process that started it is killed', async () => {
    const parent = spawn(
      process.execPath,
      ['--import', 'tsx', parentProgram, join(root, program), '--port', '0', '--data', join(data, 'child')],
      { stdio: ['ignore', 'pipe', 'ignore'] },
    );
    const [said] = (await once(createInterface({ input: parent.stdout }), 'line')) as [string];
    const [, child = '', address = ''] = /^(\d+) Serving at (\S+)$/.exec(said) ?? [];
    expect((await fetch(`${address}health`)).status).toBe(200);
    parent.kill('SIGKILL');
    await expect.poll(() => isRunning(Number(child)), { timeout: 15_000 }).toBe(false);
  }, 30_000);

  it('prints a key to sign reminders with, and sends none with what is no key', async () => {
    const printed = execFileSync(process.execPath, [join(root, program), '--new-push-key'], {
      encoding: 'utf8',
    });
    const key = /^PUSH_KEY=([\w-]{43})\n$/.exec(printed)?.[1] ?? '';
    const contact = { PUSH_CONTACT: 'mailto:keeper@tanks.example' };
    running = await startProgram(program, ['--data', data], { PUSH_KEY: key, ...contact });
    const { publicKey } = await (await fetch(`${running.address}api/push/key`)).json();
    expect(Buffer.from(publicKey, 'base64url')).toHaveLength(65);
    await expect(startProgram(program, ['--data', data], { PUSH_KEY: 'none', ...contact })).rejects.toThrow(
      /ended with 1: PUSH_KEY is no key/,
    );
    await expect(startProgram(program, ['--data', data], { PUSH_KEY: key })).rejects.toThrow(/PUSH_CONTACT/);
  }, 20_000);

  it('says in plain words what it cannot be started with', async () => {
    await expect(startProgram(program, ['--data', data, '--host', '0.0.0.0'])).rejects.toThrow(
      /ended with 1: Alone, the server asks for no sign-in .*--shared/,
    );
    await expect(startProgram(program, ['--depth', '3'])).rejects.toThrow(/ended with 2: .*unknown option/);
    await expect(startProgram(program, ['--data', join(data, 'journal.sqlite')])).rejects.toThrow(
      /ended with 1: .*journal\.sqlite/,
    );
  }, 20_000);
});

describe('its settings', () => {
  it('come from flags, then the environment, then a quiet usual', () => {
    expect(readConfig([], { XDG_DATA_HOME: '/data' })).toMatchObject({
      port: 4270,
      host: '127.0.0.1',
      mode: { shared: false },
      data: '/data/brinewright',
      databaseUrl: undefined,
    });
    const env = { PORT: '5000', HOST: 'localhost', DATABASE_URL: 'postgres:///tanks' };
    expect(readConfig(['--port', '5001'], env)).toMatchObject({
      port: 5001,
      host: 'localhost',
      databaseUrl: 'postgres:///tanks',
    });
  });

  it('of a shared server name a safe address', () => {
    expect(readConfig(['--shared', '--origin', 'https://tanks.example/'], {}).mode).toEqual({
      shared: true,
      origin: 'https://tanks.example',
      behindProxy: false,
    });
    for (const args of [['--shared'], ['--shared', '--origin', 'http://tanks.example']])
      expect(() => readConfig(args, {})).toThrow(ConfigError);
  });
});
