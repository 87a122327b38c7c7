import type { Services } from '../services.ts';

/** Slow work, by name; each is told its subject (a tank's id, say) and may be done twice without harm. */
export type TaskName = 'refit' | 'freshen' | 'remind' | 'push' | 'export' | 'drop-export';

export type Tasks = Readonly<Record<TaskName, (services: Services, subject: string) => Promise<void>>>;

/** Work to be done after the answer is sent, by this process or another. */
export interface Queue {
  /**
   * Asks for work; asked for again before it began, it is done once, as early as the earliest wish.
   * `notBefore` in epoch milliseconds.
   */
  add(task: TaskName, subject: string, notBefore?: number): Promise<void>;
  /** Begins to work on what is asked for. */
  start(services: Services): Promise<void>;
  /** Lets the work in hand end, and begins no more. */
  stop(): Promise<void>;
}
