import type { JournalStore } from '@brinewright/journal';
import type { Reckoner } from './answers/reckoner.ts';
import type { MovedTanks } from './entries/moved.ts';
import type { Log } from './http/log.ts';
import type { Metrics } from './http/metrics.ts';
import type { Queue } from './jobs/queue.ts';
import type { PushKeys } from './push/keys.ts';
import type { Database } from './sql/database.ts';

/** How the server is shared. */
export type Mode =
  /** One person on this machine: nothing is asked, and only this machine is listened to. */
  | { readonly shared: false }
  /** Several people with accounts, at one public address. */
  | {
      readonly shared: true;
      /** "https://tanks.example": where people reach it. */
      readonly origin: string;
      /** A proxy before us notes the callers' addresses. */
      readonly behindProxy: boolean;
    };

/** All that routes and tasks work with. Everything that lasts is in the database. */
export interface Services {
  readonly mode: Mode;
  readonly database: Database;
  readonly store: JournalStore;
  readonly reckoner: Reckoner;
  readonly queue: Queue;
  readonly moved: MovedTanks;
  readonly log: Log;
  readonly metrics: Metrics;
  /** Opens /metrics to whoever brings it; undefined: to no one on a shared server. */
  readonly metricsToken: string | undefined;
  /** What reminders are signed with; undefined: none are sent. */
  readonly push: PushKeys | undefined;
  /** Epoch milliseconds. */
  readonly now: () => number;
  readonly random: (bytes: number) => Uint8Array;
}
