import { setTimeout as pause } from 'node:timers/promises';
import { Logger, makeWorkerUtils, type Runner, run } from 'graphile-worker';
import pg from 'pg';
import { errorFields } from '../http/log.ts';
import type { Services } from '../services.ts';
import type { Queue, TaskName, Tasks } from './queue.ts';

const MOST_TRIES = 5;
/** Before a worker is begun anew, ms. */
const PAUSE = 1000;

export interface PostgresQueueOptions {
  /** Tasks in hand at once. */
  readonly workers?: number;
  /** After this long a worker that holds a task counts as dead, ms. */
  readonly lease?: number;
  /** How often to look for such workers, ms. */
  readonly every?: number;
}

/** Nothing from the library itself: what happens to tasks is logged below, without their subjects. */
const silent = new Logger(() => () => undefined);

/**
 * Tasks in PostgreSQL, for any number of processes: a worker is told of new ones and does not have to look. Uses
 * tables of its own beside ours. What a process held that died, or whose database did, is let go after a while; it may
 * then be done twice.
 */
export async function postgresQueue(
  connectionString: string,
  tasks: Tasks,
  { workers = 1, lease = 600_000, every = 60_000 }: PostgresQueueOptions = {},
): Promise<Queue> {
  const pgPool = new pg.Pool({ connectionString });
  // A connection that breaks is replaced by the pool; the calls that need one report what is wrong.
  pgPool.on('error', () => undefined);
  pgPool.on('connect', (client) => client.on('error', () => undefined));
  const utils = await makeWorkerUtils({ pgPool, logger: silent });
  await utils.migrate();
  let runner: Runner | undefined;
  let following: Promise<void> | undefined;
  let looking: NodeJS.Timeout | undefined;
  let ended = false;

  const begin = (services: Services): Promise<Runner> =>
    run({
      pgPool,
      concurrency: workers,
      noHandleSignals: true,
      logger: silent,
      // Only in batches, however small, does it wait for what becomes of its writes: else one that fails ends the program.
      preset: { worker: { completeJobBatchDelay: 0, failJobBatchDelay: 0 } },
      taskList: Object.fromEntries(
        (Object.keys(tasks) as TaskName[]).map((kind) => [
          kind,
          (payload: unknown) => perform(services, tasks, kind, (payload as { subject: string }).subject),
        ]),
      ),
    });

  /** A database that goes away under it ends the worker: it is begun anew until the database is back. */
  const follow = async (services: Services): Promise<void> => {
    while (!ended) {
      try {
        runner = await begin(services);
        if (ended) await runner.stop();
        await runner.promise;
      } catch (error) {
        services.log('queue-failed', errorFields(error));
      }
      runner = undefined;
      if (!ended) await pause(PAUSE);
    }
  };

  /** The library by itself waits four hours. */
  const letGo = async ({ log }: Services): Promise<void> => {
    try {
      const { rows } = await pgPool.query<{ worker: string }>(
        `select distinct locked_by as worker from graphile_worker.jobs
         where locked_at < now() - $1 * interval '1 millisecond'`,
        [lease],
      );
      if (rows.length > 0) await utils.forceUnlockWorkers(rows.map(({ worker }) => worker));
    } catch (error) {
      log('queue-failed', errorFields(error));
    }
  };

  return {
    async add(task, subject, notBefore) {
      // Whoever takes what waits already will see all that is there by then: that spares a write to the disk.
      if (notBefore !== undefined && (await waits(pgPool, task, subject, notBefore))) return;
      await utils.addJob(
        task,
        { subject },
        {
          jobKey: `${task}:${subject}`,
          maxAttempts: MOST_TRIES,
          // Asked for again, it stays as early as it was; asked for at once, it is moved to now.
          ...(notBefore === undefined
            ? {}
            : { runAt: new Date(notBefore), jobKeyMode: 'preserve_run_at' as const }),
        },
      );
    },
    async start(services) {
      await letGo(services);
      looking = setInterval(() => void letGo(services), every).unref();
      following = follow(services);
    },
    async stop() {
      ended = true;
      clearInterval(looking);
      // It may have stopped by itself in this moment.
      await runner?.stop().catch(() => undefined);
      await following;
      await utils.release();
      await pgPool.end();
    },
  };
}

async function waits(pool: pg.Pool, task: TaskName, subject: string, notBefore: number): Promise<boolean> {
  const { rowCount } = await pool.query({
    name: 'task-waits',
    text: 'select 1 from graphile_worker.jobs where key = $1 and locked_at is null and attempts = 0 and run_at <= $2',
    values: [`${task}:${subject}`, new Date(notBefore)],
  });
  return rowCount !== 0;
}

async function perform(services: Services, tasks: Tasks, kind: TaskName, subject: string): Promise<void> {
  const { metrics, log } = services;
  try {
    await tasks[kind](services, subject);
  } catch (error) {
    metrics.count('brinewright_tasks_total', { kind, outcome: 'failed' });
    log('task-failed', { kind, ...errorFields(error) });
    throw error;
  }
  metrics.count('brinewright_tasks_total', { kind, outcome: 'done' });
}
