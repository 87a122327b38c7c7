import { spawnSync } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

interface Program {
  readonly entry: string;
  readonly out: string;
  readonly external: readonly string[];
}
const { bundle, programs } = (await import(
  new URL('../../../tools/support/bundle.mjs', import.meta.url).href
)) as { bundle(program: Program): Promise<string>; programs: Record<'cli' | 'server', Program> };

const root = fileURLToPath(new URL('../../../', import.meta.url));
let folder: string;

beforeAll(async () => {
  mkdirSync(`${root}apps/cli/dist`, { recursive: true });
  folder = mkdtempSync(`${root}apps/cli/dist/test-`).slice(root.length);
  await bundle({ ...programs.cli, out: `${folder}/cli/dist/main.js` });
});
afterAll(() => rmSync(`${root}${folder}`, { recursive: true, force: true }));

const brinewright = (...args: readonly string[]) =>
  spawnSync(process.execPath, [`${root}${folder}/cli/dist/main.js`, ...args], { encoding: 'utf8' });

describe('serve', () => {
  it('says how to build the server where it is not built, and hands over to it where it is', async () => {
    const before = brinewright('serve');
    expect([before.status, before.stderr]).toEqual([
      1,
      'The server is not built: run "npm start" once in the checkout.\n',
    ]);
    await bundle({ ...programs.server, out: `${folder}/server/dist/main.js` });
    const help = brinewright('serve', '--help');
    expect(help.status).toBe(0);
    expect(help.stdout).toMatch(/--shared .*several people/);
    const wrong = brinewright('serve', '--depth', '3');
    expect([wrong.status, wrong.stderr]).toEqual([2, expect.stringContaining("unknown option '--depth'")]);
    const open = brinewright('serve', '--host', '0.0.0.0');
    expect([open.status, open.stderr]).toEqual([1, expect.stringContaining('--shared')]);
  }, 20_000);
});
