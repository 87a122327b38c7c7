import { Worker } from 'node:worker_threads';
import { Fault } from '../http/problem.ts';
import type { Question, Reckoned, Reckoner } from './reckoner.ts';
import type { Sent } from './thread.ts';

export interface PoolOptions {
  /** The program a thread runs; it has to call `answerQuestions`. */
  readonly program: URL;
  readonly threads: number;
  /** Questions that may wait at once. */
  readonly waiting?: number;
  /** A thread that takes longer for one answer is ended, ms. */
  readonly patience?: number;
}

interface Waiting {
  readonly question: Question;
  readonly resolve: (reckoned: Reckoned) => void;
  readonly reject: (error: Error) => void;
}

/** Threads that answer questions, one each at a time, first come first served. They start when first needed. */
export function threadPool({ program, threads, waiting = 200, patience = 60_000 }: PoolOptions): Reckoner {
  const line: Waiting[] = [];
  const idle: Worker[] = [];
  /** Threads at work, each with what ends its work early. */
  const busy = new Map<Worker, (why: Error) => void>();
  let closed = false;

  const serve = (): void => {
    while (!closed && line.length > 0 && (idle.length > 0 || busy.size < threads)) {
      const next = line.shift() as Waiting;
      give(idle.pop() ?? new Worker(program), next);
    }
  };

  const give = (worker: Worker, task: Waiting): void => {
    const finish = (keep: boolean): void => {
      clearTimeout(timer);
      // One by one: the thread's own port listens too.
      worker.off('message', told).off('error', failed);
      busy.delete(worker);
      if (keep && !closed) idle.push(worker);
      else void worker.terminate();
      serve();
    };
    const told = (sent: Sent): void => {
      finish(true);
      if ('reckoned' in sent) task.resolve(sent.reckoned);
      else task.reject(new Error(sent.failed));
    };
    const failed = (error: Error): void => {
      finish(false);
      task.reject(error);
    };
    busy.set(worker, failed);
    const timer = setTimeout(() => {
      failed(new Fault('too-busy', 'The answer took too long to reckon.'));
    }, patience);
    worker.on('message', told).on('error', failed);
    worker.postMessage(task.question);
  };

  return {
    ask: (question) =>
      new Promise((resolve, reject) => {
        if (closed) return reject(new Fault('too-busy', 'The server is closing.'));
        if (line.length >= waiting)
          return reject(new Fault('too-busy', 'Ask again in a while.', [], { 'Retry-After': '10' }));
        line.push({ question, resolve, reject });
        serve();
      }),
    async close() {
      closed = true;
      const ended = new Fault('too-busy', 'The server is closing.');
      for (const { reject } of line.splice(0)) reject(ended);
      for (const stop of busy.values()) stop(ended);
      await Promise.all(idle.map((worker) => worker.terminate()));
    },
  };
}
