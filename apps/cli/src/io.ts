import type { Hand } from '@brinewright/evidence';

/** What a command may touch of the world around it: given by `main.ts`, replaced in tests. */
export interface Io {
  /** Writes to standard output: the answer, nothing else. */
  readonly out: (text: string) => void;
  /** Writes to standard error: progress, warnings, faults. */
  readonly err: (text: string) => void;
  /** Bytes of standard input, to its end. */
  readonly stdin: () => Promise<Uint8Array>;
  /** True where standard output goes to a terminal. */
  readonly outIsTerminal: boolean;
  /** True where standard error goes to a terminal, so that progress may be drawn and wiped. */
  readonly errIsTerminal: boolean;
  /** Columns of the terminal; undefined where output goes elsewhere. */
  readonly columns: number | undefined;
  readonly env: Readonly<Record<string, string | undefined>>;
  /** IANA name of the zone in which days are named to a person. */
  readonly timeZone: string;
  /** Threads that help with the reckoning; more may come while it goes on. */
  readonly hands: readonly Hand[];
  /** Epoch milliseconds now; read only where a person asks for the present. */
  readonly now: () => number;
}

/** A fault that ends the command: 1 where the input is at fault, 2 where the command was put wrongly. */
export class Refusal extends Error {
  readonly exitCode: 1 | 2;

  constructor(message: string, exitCode: 1 | 2 = 1) {
    super(message);
    this.exitCode = exitCode;
  }
}
