import { isMainThread } from 'node:worker_threads';
import { type Crew, lendHand, openCrew } from './hands.ts';
import { run } from './run.ts';

async function stdin(): Promise<Uint8Array> {
  const parts: Uint8Array[] = [];
  for await (const part of process.stdin) parts.push(part as Uint8Array);
  return Buffer.concat(parts);
}

/** A reader that closes early (`brinewright … | head`) is no fault. */
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code !== 'EPIPE') throw error;
});

async function answer(): Promise<number> {
  let crew: Crew | undefined;
  const code = await run(process.argv.slice(2), {
    out: (text) => void process.stdout.write(text),
    err: (text) => void process.stderr.write(text),
    stdin,
    outIsTerminal: process.stdout.isTTY === true,
    errIsTerminal: process.stderr.isTTY === true,
    columns: process.stdout.columns,
    env: process.env,
    timeZone: new Intl.DateTimeFormat().resolvedOptions().timeZone,
    get hands() {
      crew ??= openCrew(new URL(import.meta.url));
      return crew.hands;
    },
    now: Date.now,
  });
  await crew?.close();
  return code;
}

if (isMainThread) {
  const code = await answer();
  // Setting the code, not exiting: what was written to a pipe may still be on its way.
  process.exitCode = code === 0 ? (process.exitCode ?? 0) : code;
} else lendHand();
