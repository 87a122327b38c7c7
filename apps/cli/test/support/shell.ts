import type { Io } from '../../src/io.ts';
import { run } from '../../src/run.ts';

export interface Outcome {
  readonly out: string;
  readonly err: string;
  readonly code: number;
}

/** Runs the command line in this process, with its output kept and `stdin` as its standard input. */
export async function shell(args: readonly string[], stdin: string | Uint8Array = ''): Promise<Outcome> {
  let out = '';
  let err = '';
  const io: Io = {
    out: (text) => {
      out += text;
    },
    err: (text) => {
      err += text;
    },
    stdin: async () => (typeof stdin === 'string' ? new TextEncoder().encode(stdin) : stdin),
    outIsTerminal: false,
    errIsTerminal: false,
    columns: undefined,
    env: {},
    timeZone: 'UTC',
    hands: [],
    now: () => Date.UTC(2025, 5, 1),
  };
  const code = await run(args, io);
  return { out, err, code };
}

/** An outcome as one text, to be kept beside the test. */
export const transcript = (args: readonly string[], { out, err, code }: Outcome): string =>
  [`$ brinewright ${args.join(' ')}`, '── output', out, '── errors', err, `── exit ${code}`, ''].join('\n');
