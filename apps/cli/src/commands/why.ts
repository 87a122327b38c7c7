import { explain } from '@brinewright/counsel';
import type { Command } from 'commander';
import type { Io } from '../io.ts';
import { nameOf, readTank, type TankOptions, tellDoubts } from '../journal/choose.ts';
import { reckoned } from '../journal/reckoned.ts';
import { faceOf } from '../paper/face.ts';
import { follow } from '../progress.ts';
import { causesPage } from '../sheet/causes-page.ts';
import { withTankOptions } from './common.ts';

interface WhyOptions extends TankOptions {
  readonly seed: number;
  readonly json?: boolean;
  readonly plain?: boolean;
}

export function registerWhy(program: Command, io: Io): void {
  withTankOptions(program.command('why'))
    .description('what may hold a tank up, how likely each is, and what would tell')
    .argument('<journal>', 'journal file, or - for standard input')
    .option('--json', 'answer for a program')
    .option('--plain', 'write with ASCII alone')
    .action(async (journal: string, options: WhyOptions) => {
      const tank = await readTank(io, journal, options);
      const { facts, asOf } = tank;
      const reckoning = await reckoned(io, tank, { seed: options.seed });
      tellDoubts(io, facts, [...reckoning.situation.warnings, ...reckoning.posterior.diagnostics.warnings]);
      const causes = await follow(io, explain(reckoning, io.hands));
      if (options.json) io.out(`${JSON.stringify(causes)}\n`);
      else io.out(causesPage(causes, nameOf(facts), asOf, faceOf(io, options)));
    });
}
