import { readFile } from 'node:fs/promises';
import { basename } from 'node:path';
import { checkRow, type TableRow, type Verdict } from '@brinewright/seawater';
import type { Command } from 'commander';
import Papa from 'papaparse';
import { type Io, Refusal } from '../io.ts';
import { tame } from '../paper/text.ts';

/** `brinewright check TABLE.csv...`: the product's own numbers against tables of published ones. */
export function registerCheck(program: Command, io: Io): void {
  program
    .command('check')
    .description('compare the chemistry with tables of published values')
    .argument('<tables...>', 'CSV files with the columns quantity, its inputs, expected, tolerance')
    .action(async (tables: string[]) => {
      const counts = { passed: 0, failed: 0, skipped: 0 };
      for (const table of tables) {
        for (const { line, row, verdict } of await judgeTable(table)) {
          counts[verdict.outcome] += 1;
          if (verdict.outcome !== 'passed') io.out(`${tame(basename(table))}:${line} ${say(row, verdict)}\n`);
        }
      }
      const { passed, failed, skipped } = counts;
      io.out(`${passed} passed, ${failed} failed, ${skipped} skipped\n`);
      // The answer was given in full, so this is no refusal; the exit code alone tells that something did not hold.
      if (failed + skipped > 0) process.exitCode = 1;
    });
}

/** A row of a table with its place in the file and what became of it. */
type Judged = { line: number; row: TableRow; verdict: Verdict };

async function judgeTable(path: string): Promise<Judged[]> {
  const { data, errors } = Papa.parse<TableRow>(await readText(path), {
    header: true,
    skipEmptyLines: 'greedy',
    transformHeader: (name) => name.trim(),
  });
  if (data.length === 0)
    throw new Refusal(`${path} holds no rows: a heading and rows below it are expected.`);
  // A short row lacks inputs and says so when it is evaluated; any other fault may have shifted its columns.
  const faults = new Map(
    errors.flatMap(({ row, code, message }) =>
      row === undefined || code === 'TooFewFields' ? [] : [[row, message] as const],
    ),
  );
  return data.map((row, index) => {
    const fault = faults.get(index);
    const verdict: Verdict =
      fault === undefined
        ? checkRow(row)
        : { outcome: 'skipped', quantity: row.quantity ?? '', reason: `the row is badly formed: ${fault}` };
    return { line: index + 2, row, verdict };
  });
}

async function readText(path: string): Promise<string> {
  try {
    return await readFile(path, 'utf8');
  } catch (error) {
    throw new Refusal(`${path} cannot be read: ${(error as NodeJS.ErrnoException).code ?? 'unknown fault'}.`);
  }
}

/** Columns that are not inputs of a quantity. */
const notInputs = new Set(['quantity', 'expected', 'tolerance', 'source']);

function say(row: TableRow, verdict: Verdict): string {
  const inputs = Object.entries(row)
    .filter(([name, text]) => !notInputs.has(name) && typeof text === 'string' && text.trim() !== '')
    .map(([name, text]) => `${name} ${text}`);
  const what = tame([verdict.quantity || '(no quantity)', ...inputs].join(' '));
  if (verdict.outcome === 'skipped') return `skipped: ${what}: ${tame(verdict.reason)}`;
  const { computed, expected, tolerance } = verdict;
  return `failed: ${what}: computed ${Number(computed.toPrecision(9))}, expected ${expected} ± ${tolerance}`;
}
