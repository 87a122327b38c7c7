import {
  type Field,
  InputFault,
  mixingTools,
  shelves,
  type Tool,
  type UnitSystem,
  type Worked,
} from '@brinewright/counsel';
import { type Command, Option } from 'commander';
import { type Io, Refusal } from '../io.ts';
import { faceOf } from '../paper/face.ts';
import { columnsOf, padEnd, tame } from '../paper/text.ts';
import { workedPage } from './worked-page.ts';

/** Options of every tool besides its fields. */
interface AnswerOptions {
  readonly json?: boolean;
  readonly plain?: boolean;
  readonly working?: boolean;
  readonly entries?: boolean;
  readonly units: UnitSystem;
}

/** `brinewright mix`: the tools of the mixing room, each a verb of its own with its fields as options. */
export function registerMix(program: Command, io: Io): void {
  const mix = program
    .command('mix')
    .description('water, salt, ammonia and minerals: how much, how sure, and what to mind')
    .argument('[tool]', 'which tool; without one they are listed')
    .action((tool: string | undefined) => {
      if (tool !== undefined)
        throw new Refusal(`There is no tool "${tame(tool)}". "brinewright mix" lists those there are.`, 2);
      io.out(listOfTools());
    });
  for (const tool of mixingTools) registerTool(mix, tool, io);
}

function listOfTools(): string {
  const width = Math.max(...mixingTools.map(({ id }) => columnsOf(id)));
  const blocks = Object.entries(shelves).map(([shelf, name]) => {
    const tools = mixingTools.filter((tool) => tool.shelf === shelf);
    return [name, ...tools.map(({ id, title }) => `  ${padEnd(id, width)}  ${title}`)].join('\n');
  });
  return `${blocks.join('\n\n')}\n\n"brinewright mix TOOL --help" shows what a tool asks for.\n`;
}

/** `waterHeight` is asked for as `--water-height`. */
const flagOf = (id: string): string => `--${id.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}`;

/** Options every answer takes. */
const withAnswerOptions = (command: Command): Command =>
  command
    .addOption(
      new Option('--units <system>', 'units of the answer').choices(['metric', 'us', 'uk']).default('metric'),
    )
    .option('--working', 'show how the answer was reached, with sources')
    .option('--entries', 'show the journal entries that would record it as done')
    .option('--json', 'answer for a program; always metric')
    .option('--plain', 'write with ASCII alone');

function registerTool(mix: Command, tool: Tool, io: Io): void {
  const command = mix.command(tool.id, { hidden: true }).description(`${tool.title}. ${tool.purpose}`);
  withFields(command, tool).action((options: ToolOptions) => {
    const answer = answerOf(tool, options);
    if (options.json) io.out(`${JSON.stringify({ tool: tool.id, ...answer })}\n`);
    else io.out(workedPage(tool.title, answer, faceOf(io, options), options));
  });
}

/** Options of a tool: its fields as a person wrote them, and how the answer is wanted. */
export type ToolOptions = AnswerOptions & Readonly<Record<string, string | undefined>>;

/** Gives a command an option for each field of a tool, and those every answer takes. */
export function withFields(command: Command, tool: Tool): Command {
  for (const [id, field] of Object.entries(tool.fields))
    command.option(`${flagOf(id)} <text>`, describe(field));
  return withAnswerOptions(command);
}

/** The fields a person filled in, by id. */
export const textsOf = (tool: Tool, options: ToolOptions): Record<string, string> =>
  Object.fromEntries(
    Object.keys(tool.fields).flatMap((id) => (options[id] === undefined ? [] : [[id, options[id]]])),
  );

/** A tool's answer; a fault of a field becomes a refusal that names the option a person wrote. */
export function answerOf(tool: Tool, options: ToolOptions): Worked {
  try {
    return tool.answer(textsOf(tool, options));
  } catch (error) {
    if (!(error instanceof InputFault)) throw error;
    throw new Refusal(`${flagOf(error.field)}: ${tame(error.problem)}. ${error.remedy}`, 2);
  }
}

function describe(field: Field): string {
  const options =
    field.kind === 'choice'
      ? `: ${Object.entries(field.options)
          .map(([name, meaning]) => `${name} (${meaning})`)
          .join(', ')}`
      : '';
  const preset = field.preset === undefined ? '' : `; ${field.preset} where left out`;
  const need = field.preset === undefined && !('optional' in field) ? ' [needed]' : '';
  return `${field.title}: ${field.help}${options}${preset}${need}`;
}
