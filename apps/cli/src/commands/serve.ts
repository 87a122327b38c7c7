import { spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Command } from 'commander';
import { type Io, Refusal } from '../io.ts';

/** The server is a program of its own, bundled beside this one. */
const SERVER = fileURLToPath(new URL('../../server/dist/main.js', import.meta.url));

export function registerServe(program: Command, io: Io): void {
  program
    .command('serve')
    .description('keep the journals of many devices in one place, and serve the pages')
    .usage('[options]')
    // Every option is the server's own to read, --help among them.
    .helpOption(false)
    .allowUnknownOption()
    .argument('[options...]')
    .action(async (_: unknown, __: unknown, { args }: Command) => {
      if (!existsSync(SERVER))
        throw new Refusal('The server is not built: run "npm start" once in the checkout.');
      process.exitCode = await handOver(args, io.env);
    });
}

/** Runs the server in the place of this program until it ends; resolves to its exit code. */
function handOver(args: readonly string[], env: Io['env']): Promise<number> {
  const server = spawn(process.execPath, [SERVER, ...args], { env, stdio: 'inherit' });
  // A terminal sends Ctrl-C to the server as well; being told twice does it no harm.
  for (const signal of ['SIGINT', 'SIGTERM'] as const) process.on(signal, () => server.kill(signal));
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.once('exit', (code) => resolve(code ?? 1));
  });
}
