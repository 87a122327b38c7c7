import { sheetOf } from '@brinewright/counsel';
import type { Command } from 'commander';
import { courseAnswer } from '../answers/course.ts';
import type { Io } from '../io.ts';
import { nameOf, readTank, type TankOptions, tellDoubts } from '../journal/choose.ts';
import { reckoned } from '../journal/reckoned.ts';
import { readWhole } from '../options.ts';
import { faceOf } from '../paper/face.ts';
import { pageOf } from '../sheet/page.ts';
import { withTankOptions } from './common.ts';

interface CourseOptions extends TankOptions {
  readonly days: number;
  readonly seed: number;
  readonly json?: boolean;
  readonly plain?: boolean;
}

export function registerCourse(program: Command, io: Io): void {
  withTankOptions(program.command('course'))
    .description('where a tank stands and where it goes')
    .argument('<journal>', 'journal file, or - for standard input')
    .option('--days <n>', 'how far to look ahead', readWhole(1, 730), 90)
    .option('--json', 'answer for a program')
    .option('--plain', 'draw with ASCII alone')
    .action(async (journal: string, options: CourseOptions) => {
      const tank = await readTank(io, journal, options);
      const { facts } = tank;
      const { days, seed } = options;
      const reckoning = await reckoned(io, tank, { seed, days });
      const sheet = sheetOf(reckoning, { timeZone: io.timeZone });
      tellDoubts(io, facts, sheet.course.fit.warnings);
      if (options.json) io.out(`${JSON.stringify(courseAnswer(sheet.course))}\n`);
      else io.out(pageOf(sheet, nameOf(facts), faceOf(io, options)));
    });
}
