import { CommanderError } from 'commander';
import { readConfig, SaidInstead } from './config.ts';
import { putBack, takeCopy } from './copies.ts';
import { serveApp } from './serve.ts';

/**
 * The server as a program: serves until it is told to end by SIGINT or SIGTERM. Says where it is on standard output;
 * what happens goes to standard error, one JSON object a line. Sets the exit code: 1 it could not serve, 2 wrong usage.
 */
export async function start(args: readonly string[], program: URL): Promise<void> {
  try {
    const config = readConfig(args, process.env);
    if (config.copyTo !== undefined) {
      takeCopy(config.data, config.copyTo);
      return console.log(
        `Copied to ${config.copyTo}. It holds what opens accounts: keep it as safe as the server.`,
      );
    }
    if (config.restoreFrom !== undefined) {
      putBack(config.restoreFrom, config.data);
      return console.log(
        `Put back into ${config.data}. Start the server: devices hand over again what the copy does not have.`,
      );
    }
    const { address, joinAt, close } = await serveApp({
      ...config,
      program,
      write: (line) => void process.stderr.write(line),
    });
    console.log(`Serving at ${address}`);
    if (joinAt !== undefined) console.log(`Open the first account within a day at ${joinAt}`);
    for (const signal of ['SIGINT', 'SIGTERM'] as const) process.once(signal, () => void close());
    endWithParent(close);
  } catch (error) {
    if (error instanceof SaidInstead) console.log(error.message);
    else if (error instanceof CommanderError) process.exitCode = error.exitCode === 0 ? 0 : 2;
    else {
      console.error(error instanceof Error ? error.message : String(error));
      process.exitCode = 1;
    }
  }
}

/** Started with a channel to its parent, the server ends when that closes: however the parent ended, too. */
function endWithParent(close: () => Promise<void>): void {
  if (!process.connected) return;
  process.once('disconnect', () => void close());
  // The channel alone does not keep a server running that was told to end otherwise.
  process.channel?.unref();
}
