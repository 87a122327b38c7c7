import { promisify } from 'node:util';
import { errorFields } from '../http/log.ts';
import type { Services } from '../services.ts';
import type { Database } from '../sql/database.ts';
import { first } from '../sql/database.ts';
import type { Queue, TaskName, Tasks } from './queue.ts';

interface Held {
  readonly kind: TaskName;
  readonly subject: string;
  readonly wanted: number;
  readonly tries: number;
}

export interface TableQueueOptions {
  /** Tasks in hand at once. */
  readonly workers?: number;
  /** After this long a worker that holds a task counts as dead, ms. */
  readonly lease?: number;
  /** How often to look for tasks of other processes, ms. */
  readonly every?: number;
}

const MOST_TRIES = 5;

const breath = promisify(setImmediate);

/**
 * Tasks in a table of the database, for SQLite: any number of processes on one file may work on it. A task is held
 * for a while by whoever took it; one that dies lets go when that time has passed. Its tasks may then be done twice.
 */
export function tableQueue(
  database: Database,
  tasks: Tasks,
  now: () => number,
  { workers = 1, lease = 120_000, every = 1000 }: TableQueueOptions = {},
): Queue {
  let running: Promise<void>[] = [];
  let ended = false;
  let wake: (() => void)[] = [];

  const alert = (): void => {
    for (const one of wake.splice(0)) one();
  };
  const rest = (): Promise<void> =>
    new Promise((resolve) => {
      const timer = setTimeout(resolve, every);
      wake.push(() => {
        clearTimeout(timer);
        resolve();
      });
    });

  const work = async (services: Services): Promise<void> => {
    while (!ended) {
      try {
        const held = await take(database, now(), lease);
        if (held === undefined) await rest();
        else await perform(services, tasks, held);
        // SQLite answers at once: without a breath, work upon work would leave no time for requests.
        await breath();
      } catch (error) {
        services.log('queue-failed', errorFields(error));
        await rest();
      }
    }
  };

  return {
    async add(task, subject, notBefore = 0) {
      // Whoever takes what waits already will see all that is there by then: that spares a write to the disk.
      const waits = await first(
        database,
        'select 1 as one from task where kind = $1 and subject = $2 and held_until = 0 and tries = 0 and due <= $3',
        task,
        subject,
        notBefore,
      );
      if (waits !== undefined) return alert();
      await database.run(
        `insert into task (kind, subject, due, wanted, tries, held_until) values ($1, $2, $3, 1, 0, 0)
         on conflict (kind, subject) do update
         set wanted = task.wanted + 1, tries = 0,
           due = case when task.held_until = 0 and task.due < excluded.due then task.due else excluded.due end`,
        task,
        subject,
        notBefore,
      );
      alert();
    },
    async start(services) {
      running = Array.from({ length: workers }, () => work(services));
    },
    async stop() {
      ended = true;
      alert();
      await Promise.all(running);
      wake = [];
    },
  };
}

/**
 * Takes the task that is due longest. One held longer than any lease can last was taken before the clock was set
 * back, and is free again; so is one due further ahead than any task is put off.
 */
async function take(database: Database, now: number, lease: number): Promise<Held | undefined> {
  return first<Held>(
    database,
    `update task set held_until = $1
     where (kind, subject) = (
       select kind, subject from task
       where (due <= $2 or due > $3) and (held_until <= $2 or held_until > $1) and tries < ${MOST_TRIES}
       order by due limit 1)
     returning kind, subject, wanted, tries`,
    now + lease,
    now,
    now + FURTHEST_AHEAD,
  );
}

const FURTHEST_AHEAD = 7 * 86_400_000;

async function perform(services: Services, tasks: Tasks, held: Held): Promise<void> {
  const { database, metrics, log, now } = services;
  const { kind, subject, wanted, tries } = held;
  try {
    await tasks[kind](services, subject);
  } catch (error) {
    metrics.count('brinewright_tasks_total', { kind, outcome: 'failed' });
    log('task-failed', { kind, tries: tries + 1, ...errorFields(error) });
    await database.run(
      'update task set held_until = 0, tries = tries + 1, due = $1, fault = $2 where kind = $3 and subject = $4',
      now() + 1000 * 4 ** tries,
      error instanceof Error ? error.name : 'unknown',
      kind,
      subject,
    );
    return;
  }
  metrics.count('brinewright_tasks_total', { kind, outcome: 'done' });
  // Asked for again while it was under way: it stays, free to be taken.
  const removed = await database.run(
    'delete from task where kind = $1 and subject = $2 and wanted = $3',
    kind,
    subject,
    wanted,
  );
  if (removed === 0)
    await database.run('update task set held_until = 0 where kind = $1 and subject = $2', kind, subject);
}
