import { rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { lineOf } from '@brinewright/journal';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { answer } from '../src/answers/answer.ts';
import { threadPool } from '../src/answers/pool.ts';
import type { Question } from '../src/answers/reckoner.ts';
import { builtProgram } from './support/program.ts';
import { startedTank, tankOf } from './support/tanks.ts';

let folder: string;
let program: URL;
const asOf = Date.parse('2026-03-06T12:00:00Z');
const question = (n: number): Question => ({
  tank: tankOf(n),
  lines: startedTank(tankOf(n), `Bench ${n}`, asOf - 5 * 86_400_000).map(lineOf),
  asOf,
  days: 30,
  seed: 1,
});

beforeAll(async () => {
  const main = fileURLToPath(new URL(`../../../${await builtProgram()}`, import.meta.url));
  program = pathToFileURL(join(dirname(main), 'reckoning.js'));
  folder = dirname(dirname(dirname(main)));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('threads that reckon', () => {
  it('answer as the main thread would, byte for byte, one after another', async () => {
    const pool = threadPool({ program, threads: 1 });
    const [one, two] = await Promise.all([pool.ask(question(1)), pool.ask(question(2))]);
    expect(one).toEqual(answer(question(1)));
    expect(two).not.toEqual(one);
    await pool.close();
  }, 30_000);

  it('are ended where an answer takes too long, and the next question is answered', async () => {
    const pool = threadPool({ program, threads: 1, patience: 1 });
    await expect(pool.ask(question(1))).rejects.toThrow(/took too long/);
    await pool.close();
    await expect(pool.ask(question(1))).rejects.toThrow(/closing/);
  });

  it('tell what waits that the server is closing, and that it has too much to do', async () => {
    const pool = threadPool({ program, threads: 1, waiting: 1 });
    const asked = [1, 2, 3].map((n) => pool.ask(question(n)));
    const answers = Promise.allSettled(asked);
    await pool.close();
    expect((await answers).map((one) => one.status === 'rejected' && one.reason.message)).toEqual([
      'The server is closing.',
      'The server is closing.',
      'Ask again in a while.',
    ]);
  });

  it('report a program that cannot be run', async () => {
    const pool = threadPool({ program: new URL('nowhere.js', program), threads: 1 });
    await expect(pool.ask(question(1))).rejects.toThrow(/nowhere\.js/);
    await pool.close();
  });
});
