import { type Sheet, sheetOf } from '@brinewright/counsel';
import type { Command } from 'commander';
import { courseAnswer } from '../answers/course.ts';
import type { Io } from '../io.ts';
import { nameOf, readTanks, type TankOptions, tellDoubts } from '../journal/choose.ts';
import { reckoned } from '../journal/reckoned.ts';
import { readWhole } from '../options.ts';
import { type Face, faceOf } from '../paper/face.ts';
import { clip, columnsOf, padEnd, wrap } from '../paper/text.ts';
import { withTankOptions } from './common.ts';

interface RoundsOptions extends TankOptions {
  readonly days: number;
  readonly seed: number;
  readonly json?: boolean;
  readonly plain?: boolean;
}

export function registerRounds(program: Command, io: Io): void {
  withTankOptions(program.command('rounds'))
    .description('every tank of a journal, a line each')
    .argument('<journal>', 'journal file, or - for standard input')
    .option('--days <n>', 'how far to look ahead', readWhole(1, 730), 90)
    .option('--json', 'answer for a program')
    .option('--plain', 'draw with ASCII alone')
    .action(async (journal: string, options: RoundsOptions) => {
      const { days, seed, tank: wanted } = options;
      const tanks = (await readTanks(io, journal, options)).filter(
        ({ facts }) => wanted === undefined || facts.tank === wanted || nameOf(facts) === wanted,
      );
      const rows: Round[] = [];
      for (const tank of tanks) {
        const { facts } = tank;
        const reckoning = await reckoned(io, tank, { seed, days }, `${nameOf(facts)}: `);
        const sheet = sheetOf(reckoning, { timeZone: io.timeZone });
        tellDoubts(io, facts, sheet.course.fit.warnings);
        rows.push({ name: nameOf(facts), sheet });
      }
      if (options.json) io.out(`${JSON.stringify(rows.map(roundAnswer))}\n`);
      else io.out(roundsPage(rows, faceOf(io, options)));
    });
}

interface Round {
  readonly name: string;
  readonly sheet: Sheet;
}

/** One tank of the rounds for a program: as `course` answers, without the series. */
function roundAnswer({ name, sheet }: Round): object {
  const { tank, asOf, stage, ready, capacity, fit } = courseAnswer(sheet.course);
  const { p05, p50, p95 } = ready;
  return { tank, name, asOf, stage, ready: { p05, p50, p95 }, capacity, fit };
}

/** A line a tank: its name and the sentence that says where it stands. */
export function roundsPage(rounds: readonly Round[], face: Face): string {
  const nameWidth = Math.min(24, Math.max(...rounds.map(({ name }) => columnsOf(name))));
  const lines = rounds.flatMap(({ name, sheet }) =>
    wrap(face.say(sheet.sentence), face.width - nameWidth - 2).map((line, index) => {
      const left = padEnd(index === 0 ? clip(face.say(name), nameWidth) : '', nameWidth);
      return `${face.ink('strong', left)}  ${line}`;
    }),
  );
  return face.spell(`${lines.join('\n')}\n`);
}
