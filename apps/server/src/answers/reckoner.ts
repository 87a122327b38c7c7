import type { TankId } from '@brinewright/journal';

/** What is asked of a tank. The same question about the same lines has the same answer, byte for byte. */
export interface Question {
  readonly tank: TankId;
  /** The tank's entries, as lines of a journal file. */
  readonly lines: readonly string[];
  /** Epoch milliseconds. */
  readonly asOf: number;
  readonly days: number;
  readonly seed: number;
}

/** What could be said, each part as JSON text; `cannot` where the journal gives no answer, with what would make it possible. */
export type Reply =
  | {
      readonly ok: true;
      readonly name: string | undefined;
      /** Counsel's `Sheet`. */
      readonly sheet: string;
      /** Counsel's `Order[]`. */
      readonly orders: string;
    }
  | { readonly ok: false; readonly cannot: string };

/** Reckons answers apart from the thread that serves. */
export interface Reckoner {
  /** Rejects with a `Fault` of kind "too-busy" where too many wait already, or the answer takes too long. */
  ask(question: Question): Promise<Reply>;
  close(): Promise<void>;
}
