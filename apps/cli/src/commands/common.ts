import type { Command } from 'commander';
import { readAsOf, readWhole } from '../options.ts';

/** Options of every question about a tank. */
export const withTankOptions = (command: Command): Command =>
  command
    .option('--tank <id>', 'which tank, by id or name; needed where a journal holds several')
    .option(
      '--as-of <instant>',
      'hide every entry after it; "now" for the present (default: the last entry)',
      readAsOf,
    )
    .option('--seed <n>', 'seed of the random numbers', readWhole(0, 2 ** 32 - 1), 1)
    .option('--strict', 'refuse a file with any fault');
