import type { TankId } from '@brinewright/journal';
import { errorFields, type Log } from '../http/log.ts';
import type { Queue } from '../jobs/queue.ts';

/** A device that catches up hands over in many parts: rounds are reckoned when it has had time to end, ms. */
const SETTLE = 5000;
/** Tanks that got entries are told to the queue together, so often at most, ms. */
const GATHER = 100;

/** Has tanks that got entries reckoned anew. */
export interface MovedTanks {
  /** To be called once the entries are kept. */
  note(tank: TankId): void;
  /** Tells the queue of all that were noted. */
  settle(): Promise<void>;
}

/**
 * Gathers for a moment, since a tank that gets one entry after another need be asked for once. What a process that is
 * killed had gathered is found when one starts: it looks for tanks whose answers are out of date. What a queue that cannot
 * be reached does not take is told again.
 */
export function movedTanks(queue: Pick<Queue, 'add'>, now: () => number, log: Log): MovedTanks {
  let noted = new Set<TankId>();
  let told: Promise<void> = Promise.resolve();
  let timer: NodeJS.Timeout | undefined;

  const tell = async (): Promise<void> => {
    const tanks = noted;
    noted = new Set();
    try {
      for (const tank of tanks) {
        await queue.add('refit', tank, now() + SETTLE);
        tanks.delete(tank);
      }
    } catch (error) {
      log('queue-failed', errorFields(error));
      for (const tank of tanks) noted.add(tank);
      timer ??= setTimeout(() => void next(), SETTLE).unref();
    }
  };
  const next = (): Promise<void> => {
    clearTimeout(timer);
    timer = undefined;
    told = told.then(tell);
    return told;
  };

  return {
    note(tank) {
      noted.add(tank);
      timer ??= setTimeout(() => void next(), GATHER);
    },
    settle: next,
  };
}
