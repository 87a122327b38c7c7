import type { CDPSession } from 'playwright-core';

/** Milliseconds on the clock, and of the processor's time: of the page's own thread, slowed down, and of its worker, which is not. */
export interface Passed {
  readonly clock: number;
  readonly page: number;
  readonly worker: number;
}

/** A line of the browser's own trace, as far as it is read here; times in microseconds. */
interface Traced {
  readonly name: string;
  readonly pid: number;
  readonly tid: number;
  readonly ts: number;
  /** Processor time. */
  readonly tdur?: number;
  readonly args: { readonly name?: string };
}

const PAGE = 'CrRendererMain';
const WORKER = 'DedicatedWorker thread';
const KINDS = ['toplevel', 'blink.user_timing'];

/** The tasks of a page's threads since the last start, from the browser's own trace. To be asked once a start. */
export interface Tasks {
  restart(): Promise<void>;
  /** Processor time of the longest task of the page's own thread, ms. */
  longest(): Promise<number>;
  /** What passed between two marks. @throws Error where one was never set */
  between(from: string, to: string): Promise<Passed>;
}

export function tasksOf(session: CDPSession): Tasks {
  let seen: Traced[] = [];
  let running = false;
  session.on('Tracing.dataCollected', ({ value }) => seen.push(...(value as unknown as Traced[])));
  const end = async (): Promise<void> => {
    if (!running) return;
    running = false;
    const complete = new Promise<void>((resolve) => session.once('Tracing.tracingComplete', () => resolve()));
    await session.send('Tracing.end');
    await complete;
  };
  const tasksIn = (thread: string): Traced[] => {
    const placeOf = ({ pid, tid }: Traced) => `${pid} ${tid}`;
    const places = new Set(seen.filter(({ args }) => args.name === thread).map(placeOf));
    return seen.filter((one) => one.name.endsWith('RunTask') && places.has(placeOf(one)));
  };
  const markedAt = (name: string): number => {
    const mark = seen.find((one) => one.name === name);
    if (mark === undefined) throw new Error(`never marked: ${name}`);
    return mark.ts;
  };
  return {
    restart: async () => {
      await end();
      seen = [];
      await session.send('Tracing.start', { traceConfig: { includedCategories: KINDS } });
      running = true;
    },
    longest: async () => {
      await end();
      return Math.max(0, ...tasksIn(PAGE).map(({ tdur = 0 }) => tdur)) / 1000;
    },
    between: async (from, to) => {
      await end();
      const [start, stop] = [markedAt(from), markedAt(to)];
      const spent = (thread: string): number =>
        tasksIn(thread)
          .filter(({ ts }) => ts >= start && ts < stop)
          // A long task of the worker may go on past the end.
          .reduce((sum, { ts, tdur = 0 }) => sum + Math.min(tdur, stop - ts), 0) / 1000;
      return { clock: (stop - start) / 1000, page: spent(PAGE), worker: spent(WORKER) };
    },
  };
}
