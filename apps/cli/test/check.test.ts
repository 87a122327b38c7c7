import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterEach, describe, expect, it } from 'vitest';
import { shell } from './support/shell.ts';

const tables = fileURLToPath(new URL('../../../packages/seawater/test/tables/', import.meta.url));

/** Writes a table and runs `check` on it, with the exit code the program would end with. */
async function check(...texts: string[]) {
  const folder = mkdtempSync(join(tmpdir(), 'tables-'));
  const paths = texts.map((text, i) => {
    const path = join(folder, `table${i + 1}.csv`);
    writeFileSync(path, text);
    return path;
  });
  return run(paths);
}

async function run(paths: readonly string[]) {
  process.exitCode = undefined;
  const { out, err, code } = await shell(['check', ...paths]);
  return { out, err, code: code || Number(process.exitCode ?? 0) };
}

afterEach(() => {
  process.exitCode = undefined;
});

const head = 'quantity,S,t,expected,tolerance,source\n';

describe('brinewright check', () => {
  it('passes every row of the published tables', async () => {
    const { out, code } = await run([join(tables, 'density.csv'), join(tables, 'ammonia.csv')]);
    expect(out).toBe('65 passed, 0 failed, 0 skipped\n');
    expect(code).toBe(0);
  });
  it('prints a failing row with both numbers', async () => {
    const { out, code } = await check(`${head}rho_eos80,35,25,1023,0.1,made up\n`);
    expect(out).toBe(
      'table1.csv:2 failed: rho_eos80 S 35 t 25: computed 1023.34123, expected 1023 ± 0.1\n0 passed, 1 failed, 0 skipped\n',
    );
    expect(code).toBe(1);
  });
  it('prints a row it cannot evaluate with the reason, and ends with 1 for it alone', async () => {
    const { out, code } = await check(`${head}viscosity,35,25,1,1,made up\nrho_eos80,35,25,1023.34,0.1,x\n`);
    expect(out.split('\n').at(-2)).toBe('1 passed, 0 failed, 1 skipped');
    expect(out).toContain('table1.csv:2 skipped: viscosity S 35 t 25: no function here gives the quantity');
    expect(code).toBe(1);
  });
  it('counts over all tables', async () => {
    const row = `${head}rho_eos80,35,25,1023.34,0.1,x\n`;
    expect((await check(row, row)).out).toBe('2 passed, 0 failed, 0 skipped\n');
  });
  it('does not trust a row whose columns may have shifted', async () => {
    const { out } = await check(`${head}rho_eos80,35,25,1023.34,0.1,x,y\n`);
    expect(out).toContain('badly formed');
  });
  it('refuses a table without rows and a file that is not there', async () => {
    expect(await check(head)).toMatchObject({
      code: 1,
      out: '',
      err: expect.stringContaining('holds no rows'),
    });
    expect(await run(['nowhere.csv'])).toMatchObject({
      code: 1,
      out: '',
      err: expect.stringContaining('ENOENT'),
    });
  });
});
