import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { skerryJournal } from './support/journals.ts';
import { shell } from './support/shell.ts';

interface Program {
  readonly entry: string;
  readonly out: string;
  readonly external: readonly string[];
}

const tools: { bundle(program: Program): Promise<string>; programs: { cli: Program } } = await import(
  new URL('../../../tools/support/bundle.mjs', import.meta.url).href
);

const folder = mkdtempSync(join(tmpdir(), 'brinewright-cli-'));
const built = join(folder, 'main.js');
const file = join(folder, 'skerry.ndjson');

beforeAll(async () => {
  await tools.bundle({ ...tools.programs.cli, out: built });
  writeFileSync(file, skerryJournal);
}, 60_000);

afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Runs the bundled program as a person would, output going to pipes. */
function brinewright(args: readonly string[], input = ''): { out: string; err: string; code: number | null } {
  const { stdout, stderr, status } = spawnSync(process.execPath, [built, ...args], {
    input,
    encoding: 'utf8',
  });
  return { out: stdout, err: stderr, code: status };
}

describe('the bundled program', () => {
  it('says its version', () => {
    expect(brinewright(['--version'])).toEqual({ out: '0.1.0\n', err: '', code: 0 });
  });

  it('answers the same from a file and from standard input, without a word of progress', {
    timeout: 60_000,
  }, () => {
    const fromFile = brinewright(['course', file, '--json']);
    const piped = brinewright(['course', '-', '--json'], skerryJournal);
    expect(fromFile.code).toBe(0);
    expect(piped).toEqual(fromFile);
    expect(fromFile.err).toBe('');
    expect(JSON.parse(fromFile.out).fit.readingsUsed).toBe(7);
  });

  it('says of what may hold a tank up, with threads that help, what it says alone', {
    timeout: 60_000,
  }, async () => {
    const alone = await shell(['why', '-', '--json'], skerryJournal);
    expect(brinewright(['why', file, '--json'])).toEqual(alone);
    expect(alone.code).toBe(0);
  });

  it.each([
    ['answered', ['help'], 0],
    ['the input at fault', ['course', join(folder, 'nowhere.ndjson')], 1],
    ['wrong usage', ['course'], 2],
  ])('ends with the status for %s', (_name, args, code) => {
    expect(brinewright(args).code).toBe(code);
  });

  it('does not mind a reader that closes early', { timeout: 60_000 }, () => {
    const script = `"${process.execPath}" "${built}" course "${file}" | head -n 1`;
    const { stdout, stderr } = spawnSync('sh', ['-c', script], { encoding: 'utf8' });
    expect(stdout).toMatch(/^Skerry /);
    expect(stderr).not.toMatch(/EPIPE|Error/);
  });
});
