import type { Alternative, Cause, Idea, KitLore, Order, Prediction, Sheet } from '@brinewright/counsel';
import type { Analyte, Entry, EntryId, TankId } from '@brinewright/journal';

/** Both sides are built together, but an old page may meet a new worker while it is being replaced. */
export const PROTOCOL = 6;

/** A reading that might be taken. */
export interface Ask {
  readonly at: number;
  readonly analyte: Analyte;
  readonly kit: string;
  /** One part in how many; 1 is undiluted. */
  readonly dilution: number;
}

/** The journal of a tank, as far as the worker does not have it yet. */
export interface Told {
  readonly tank: TankId;
  /** How many entries of the tank the worker has been told of already. */
  readonly known: number;
  /** Those that have come since, a line each: text goes over much faster than what it says. */
  readonly lines: readonly string[];
}

/** A tank to reckon, as of an instant. */
export interface Task extends Told {
  /** Epoch milliseconds. */
  readonly asOf: number;
  readonly seed: number;
  readonly days: number;
  /** IANA zone in which days are named. */
  readonly timeZone: string;
}

/** What came of a journal file. */
export interface Brought {
  /** Entries that could be read, and how many of them were new here. */
  readonly read: number;
  readonly added: number;
  /** Ids under which the journal here says something else: entries never change, so those were left out. */
  readonly clashes: readonly EntryId[];
  /** Every line that was not taken, and why. */
  readonly faults: readonly string[];
}

export type ToWorker = {
  readonly protocol: typeof PROTOCOL;
  readonly request: number;
} /** With what the same kits showed in other tanks, where that was learnt. */ & (
  | ({ readonly kind: 'reckon'; readonly lore: KitLore | undefined } & Task)
  /** As `reckon`, with entries that are on their way to the disk: nothing is told of it before they are asked about. */
  | ({
      readonly kind: 'foresee';
      readonly lore: KitLore | undefined;
      readonly made: readonly string[];
    } & Task)
  /** What was said on an earlier day: as `reckon`, from what was written by then, and held for nothing else. */
  | ({ readonly kind: 'recall' } & Task)
  /** Where an idea would take the course the worker holds. */
  | { readonly kind: 'suppose'; readonly tank: TankId; readonly idea: Idea }
  /** What may hold a tank up whose course the worker holds. */
  | { readonly kind: 'explain'; readonly tank: TankId }
  /** What other tanks say of the kits of one, as of an instant. */
  | {
      readonly kind: 'learn';
      readonly of: Told;
      readonly others: readonly Told[];
      readonly asOf: number;
      readonly seed: number;
    }
  /** A journal file to read. */
  | { readonly kind: 'parse'; readonly text: string }
  /** A journal file to read and to keep in the browser's database. */
  | { readonly kind: 'bring'; readonly text: string }
  | { readonly kind: 'cancel' }
  | { readonly kind: 'expect'; readonly tank: TankId; readonly asks: readonly Ask[] }
);

export type FromWorker = { readonly protocol: typeof PROTOCOL; readonly request: number } & (
  | { readonly kind: 'progress'; readonly fraction: number; readonly said: string }
  /** The course is there; what to do about it follows. */
  | { readonly kind: 'sheet'; readonly sheet: Sheet; readonly ideas: readonly Idea[] }
  /** What to do, before what may hold the tank up has been weighed; the whole of it follows. */
  | { readonly kind: 'first-orders'; readonly orders: readonly Order[] }
  | { readonly kind: 'orders'; readonly orders: readonly Order[] }
  | { readonly kind: 'foreseen' }
  | { readonly kind: 'recalled'; readonly sheet: Sheet }
  | { readonly kind: 'supposed'; readonly alternative: Alternative }
  | { readonly kind: 'explained'; readonly causes: readonly Cause[] }
  | { readonly kind: 'learnt'; readonly lore: KitLore }
  /** What could be read, and every line that could not with its reason. */
  | { readonly kind: 'parsed'; readonly entries: readonly Entry[]; readonly faults: readonly string[] }
  | { readonly kind: 'brought'; readonly brought: Brought }
  /** In the order of the asks; null where nothing can be said of that analyte. */
  | { readonly kind: 'expected'; readonly predictions: readonly (Prediction | null)[] }
  /** The worker holds no course of that tank (yet). */
  | { readonly kind: 'unreckoned' }
  | { readonly kind: 'cancelled' }
  | { readonly kind: 'failed'; readonly why: string }
);

/** Two that say the same have the same text. */
export const textOfLore = (lore: KitLore = new Map()): string => JSON.stringify([...lore]);
