import { SituationError } from '@brinewright/counsel';
import { Command, CommanderError } from 'commander';
import { registerCheck } from './commands/check.ts';
import { registerCourse } from './commands/course.ts';
import { registerMix } from './commands/mix.ts';
import { registerOrders } from './commands/orders.ts';
import { registerPredict } from './commands/predict.ts';
import { registerRounds } from './commands/rounds.ts';
import { registerRoutes } from './commands/routes.ts';
import { registerServe } from './commands/serve.ts';
import { registerWater } from './commands/water.ts';
import { registerWhy } from './commands/why.ts';
import { type Io, Refusal } from './io.ts';
import { tame } from './paper/text.ts';
import { version } from './version.ts';

/** Every verb of the command line. */
function buildProgram(io: Io): Command {
  const program = new Command('brinewright')
    .description('Where a young saltwater tank stands, where it goes, and how sure that is.')
    .version(version)
    .exitOverride()
    .configureOutput({ writeOut: io.out, writeErr: io.err })
    .showHelpAfterError('(brinewright help shows the verbs, brinewright help VERB its options)');
  registerCourse(program, io);
  registerPredict(program, io);
  registerOrders(program, io);
  registerWhy(program, io);
  registerRounds(program, io);
  registerRoutes(program, io);
  registerWater(program, io);
  registerMix(program, io);
  registerCheck(program, io);
  registerServe(program, io);
  return program;
}

/**
 * Answers one command. Resolves to the exit code: 0 answered, 1 the input is at fault, 2 wrong usage. Anything
 * else that is thrown is a fault of the program and passes through.
 */
export async function run(args: readonly string[], io: Io): Promise<number> {
  try {
    await buildProgram(io).parseAsync(args, { from: 'user' });
    return 0;
  } catch (error) {
    if (error instanceof CommanderError) return error.exitCode === 0 ? 0 : 2;
    const refusal = error instanceof SituationError ? new Refusal(capital(tame(error.message))) : error;
    if (!(refusal instanceof Refusal)) throw error;
    io.err(`${refusal.message}\n`);
    return refusal.exitCode;
  }
}

const capital = (text: string): string => `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
