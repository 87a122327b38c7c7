import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseJournal } from '@brinewright/journal';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { builtProgram, type Running, startProgram } from './support/program.ts';
import { note, notes, tankOf } from './support/tanks.ts';

const root = fileURLToPath(new URL('../../../', import.meta.url));
const tank = tankOf(1);

let program: string;
let folder: string;
let data: string;
let running: Running | undefined;

beforeAll(async () => {
  program = await builtProgram();
});
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'brinewright-copies-'));
  data = join(folder, 'data');
});
afterEach(async () => {
  running?.process.kill('SIGKILL');
  await running?.ended;
  rmSync(folder, { recursive: true, force: true });
});
afterAll(() => rmSync(dirname(dirname(dirname(join(root, program)))), { recursive: true, force: true }));

const push = (address: string, entries: readonly object[]) =>
  fetch(`${address}api/tanks/${tank}/entries`, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ entries }),
  });
const idsAt = async (address: string): Promise<readonly string[]> => {
  const file = await (await fetch(`${address}api/journal`)).text();
  return parseJournal(file, { strict: true }).entries.map(({ id }) => id);
};

/** Runs the command as a person would; gives what it said, and throws with what it complained of. */
const run = (args: readonly string[], env: Readonly<Record<string, string>> = {}): string =>
  execFileSync(process.execPath, [join(root, program), ...args], {
    env: { PATH: process.env.PATH, HOME: '/nonexistent', ...env },
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'pipe'],
  });

describe('a copy of all that is kept', () => {
  it('is taken while the server writes, holds what was acknowledged by then, and is put back whole', async () => {
    running = await startProgram(program, ['--data', data]);
    const { address } = running;
    await push(address, notes(tank, 0, 50));
    let writing = true;
    const writer = (async () => {
      for (let i = 50; writing; i += 5) await push(address, notes(tank, i, i + 5));
    })();
    const copy = join(folder, "Ines's copy.sqlite");
    const before = await idsAt(address);
    expect(run(['--data', data, '--copy-to', copy])).toMatch(/^Copied to /);
    writing = false;
    await writer;
    expect(statSync(copy).mode & 0o077).toBe(0);
    const all = await idsAt(address);
    running.process.kill('SIGTERM');
    await running.ended;
    expect(() => run(['--data', data, '--restore-from', copy])).toThrow(/move it away first/);

    const restored = join(folder, 'restored');
    expect(run(['--data', restored, '--restore-from', copy])).toMatch(/^Put back into /);
    running = await startProgram(program, ['--data', restored]);
    const found = await idsAt(running.address);
    expect(found.slice(0, before.length)).toEqual(before);
    expect(all.slice(0, found.length)).toEqual(found);
    // Batches of five: none is there in part.
    expect(found.length % 5).toBe(0);
    expect((await push(running.address, [note(tank, 9999)])).status).toBe(200);
  }, 60_000);

  it('writes over nothing, and takes nothing for a copy that is none', async () => {
    running = await startProgram(program, ['--data', data]);
    running.process.kill('SIGTERM');
    await running.ended;
    const taken = join(folder, 'taken');
    writeFileSync(taken, 'a letter');
    expect(() => run(['--data', data, '--copy-to', taken])).toThrow(/is there already/);
    expect(() => run(['--data', join(folder, 'empty'), '--copy-to', join(folder, 'x')])).toThrow(
      /Nothing is kept in/,
    );
    const fresh = join(folder, 'fresh');
    expect(() => run(['--data', fresh, '--restore-from', taken])).toThrow(/is no copy/);
    expect(() => run(['--data', fresh, '--restore-from', join(folder, 'nowhere')])).toThrow(/is not there/);
    expect(existsSync(fresh)).toBe(false);
    expect(() =>
      run(['--data', data, '--copy-to', join(folder, 'y')], { DATABASE_URL: 'postgres:///none' }),
    ).toThrow(/pg_dump/);
  }, 60_000);
});
