import { waterTool } from '@brinewright/counsel';
import type { Command } from 'commander';
import type { Io } from '../io.ts';
import { faceOf } from '../paper/face.ts';
import { answerOf, type ToolOptions, textsOf, withFields } from './mix.ts';
import { workedPage } from './worked-page.ts';

/** `brinewright water`: everything that can be said of one water, its numbers by name where a program asks. */
export function registerWater(program: Command, io: Io): void {
  const command = program.command('water').description('everything that can be said of one water');
  withFields(command, waterTool).action((options: ToolOptions) => {
    const answer = answerOf(waterTool, options);
    if (!options.json) {
      io.out(workedPage(waterTool.title, answer, faceOf(io, options), options));
      return;
    }
    const { results, tables, working, warnings } = answer;
    const values = Object.fromEntries(results.map(({ name, ...rest }) => [name, rest]));
    const given = textsOf(waterTool, options);
    io.out(`${JSON.stringify({ given, values, tables, working, warnings })}\n`);
  });
}
