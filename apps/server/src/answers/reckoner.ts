import type { KitLore } from '@brinewright/counsel';
import type { TankId } from '@brinewright/journal';

export interface Journal {
  readonly tank: TankId;
  /** The tank's entries, as lines of a journal file. */
  readonly lines: readonly string[];
}

/** What is asked of a tank. The same question about the same lines has the same answer, byte for byte. */
export interface Question extends Journal {
  /** Epoch milliseconds. */
  readonly asOf: number;
  readonly days: number;
  readonly seed: number;
  /** What the tank's kits showed in other tanks. */
  readonly lore?: KitLore;
  /** Other tanks to learn that from before, instead. */
  readonly others?: readonly Journal[];
}

/** Readings by the kit they were taken with. */
export type KitCounts = Readonly<Record<string, number>>;

export interface Reckoned {
  readonly reply: Reply;
  readonly kits: KitCounts;
  /** What was learnt from other tanks, or known before. */
  readonly learnt: KitLore;
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
  ask(question: Question): Promise<Reckoned>;
  close(): Promise<void>;
}
