import type { CDPSession } from 'playwright-core';
import { visit } from '../../apps/web/test/browser/support.ts';

const SLOWED = 4;
const PATIENCE_MS = 60_000;
const LOOK_AGAIN_MS = 4;

/** What the page notes about itself. */
interface Seen {
  readonly long: readonly number[];
  readonly interactive: number;
}

/** Milliseconds on the clock, and of the processor's time: of the page's own thread, slowed down, and of its worker, which is not. */
export interface Passed {
  readonly clock: number;
  readonly page: number;
  readonly worker: number;
}

/**
 * A phone a quarter as fast as this machine. It is driven by the browser's own protocol alone: what a test's driver puts
 * into a page to find things and wait for them costs as much there as the page itself.
 */
export interface SlowPhone {
  open(address: string): Promise<void>;
  /** Waits until an expression in the page is truthy. */
  until(expression: string): Promise<void>;
  /** How many elements there are. */
  count(selector: string): Promise<number>;
  /** Taps what an expression in the page gives. */
  tap(expression: string): Promise<void>;
  /** Chooses a file. */
  choose(selector: string, file: string): Promise<void>;
  /** Milliseconds from the start of the last opening to its heading or first row. */
  interactive(): Promise<number>;
  /**
   * Milliseconds of the longest task of the page's own thread since it was opened: on the clock, and of the processor's
   * time, which other work on the machine does not stretch. To be asked once an opening.
   */
  longestTask(): Promise<{ readonly clock: number; readonly processor: number }>;
  /** Marks the moment at which an expression is first truthy and on the screen; and does something in the page then. */
  watchFor(name: string, expression: string, then?: string): Promise<void>;
  /** Marks the next press, at the moment the finger comes down. */
  watchForPress(name: string): Promise<void>;
  /** Waits until all of these were marked since the last opening. */
  marked(...names: readonly string[]): Promise<void>;
  /** What passed between two marks; to be asked when all that counts is over. */
  between(from: string, to: string): Promise<Passed>;
  /** Paths of all scripts fetched so far. */
  scripts(): readonly string[];
  complaints(): readonly string[];
  close(): Promise<void>;
}

function watched(): void {
  const long: number[] = [];
  const seen = { long, interactive: 0 };
  Object.assign(globalThis, { seen });
  new PerformanceObserver((list) => {
    for (const { duration } of list.getEntries()) long.push(duration);
  }).observe({ type: 'longtask', buffered: true });
  // No function of its own name in here: the page knows nothing of a loader's helpers for names.
  new MutationObserver(() => {
    if (seen.interactive === 0 && document.querySelector('main h1, main .kit') !== null)
      requestAnimationFrame(() => {
        seen.interactive ||= performance.now();
      });
  }).observe(document, { subtree: true, childList: true });
}

/** In the page: looks at every change whether an expression holds, and marks it once that is drawn. */
const watching = (name: string, expression: string, then: string): string => `(() => {
  const watch = new MutationObserver(() => {
    if (!(${expression})) return;
    watch.disconnect();
    requestAnimationFrame(() => {
      performance.mark(${JSON.stringify(name)});
      ${then};
    });
  });
  watch.observe(document, { subtree: true, childList: true, attributes: true });
})()`;

export async function slowPhone(): Promise<SlowPhone> {
  const { page, context, complaints, close } = await visit();
  const scripts = new Set<string>();
  page.on('response', (response) => {
    if (response.request().resourceType() === 'script') scripts.add(new URL(response.url()).pathname);
  });
  const session = await context.newCDPSession(page);
  await session.send('Emulation.setCPUThrottlingRate', { rate: SLOWED });
  await page.addInitScript(watched);

  const tasks = await tasksOf(session);
  const evaluated = async (expression: string): Promise<unknown> => {
    const { result } = await session.send('Runtime.evaluate', { expression, returnByValue: true });
    return result.value;
  };
  const until = async (expression: string): Promise<void> => {
    const end = performance.now() + PATIENCE_MS;
    while ((await evaluated(`Boolean(${expression})`)) !== true) {
      if (performance.now() > end) throw new Error(`not within ${PATIENCE_MS} ms: ${expression}`);
      await new Promise((resolve) => setTimeout(resolve, LOOK_AGAIN_MS));
    }
  };
  const seen = async (): Promise<Seen> => (await evaluated('seen')) as Seen;

  return {
    open: async (address) => {
      await tasks.restart();
      await session.send('Page.navigate', { url: address });
      await until(`location.href === ${JSON.stringify(address)} && document.querySelector('main')`);
    },
    until,
    count: async (selector) =>
      Number(await evaluated(`document.querySelectorAll(${JSON.stringify(selector)}).length`)),
    tap: async (expression) => {
      await until(expression);
      await evaluated(`(${expression}).scrollIntoView({ block: 'center' })`);
      const at = `(({ x, y, width, height }) => ({ x: x + width / 2, y: y + height / 2 }))`;
      const point = (await evaluated(`${at}((${expression}).getBoundingClientRect())`)) as {
        x: number;
        y: number;
      };
      const event = { ...point, button: 'left', clickCount: 1 } as const;
      await session.send('Input.dispatchMouseEvent', { type: 'mousePressed', ...event });
      await session.send('Input.dispatchMouseEvent', { type: 'mouseReleased', ...event });
    },
    choose: async (selector, file) => {
      const { root } = await session.send('DOM.getDocument');
      const { nodeId } = await session.send('DOM.querySelector', { nodeId: root.nodeId, selector });
      await session.send('DOM.setFileInputFiles', { files: [file], nodeId });
    },
    interactive: async () => {
      await until('seen.interactive > 0');
      return (await seen()).interactive;
    },
    longestTask: async () => {
      const { long } = await seen();
      return { clock: Math.max(0, ...long), processor: await tasks.longest() };
    },
    watchFor: async (name, expression, then = '') => {
      await evaluated(watching(name, expression, then));
    },
    watchForPress: async (name) => {
      const mark = `({ timeStamp }) => performance.mark(${JSON.stringify(name)}, { startTime: timeStamp })`;
      await evaluated(`addEventListener('pointerdown', ${mark}, { capture: true, once: true })`);
    },
    marked: async (...names) => {
      for (const name of names)
        await until(`performance.getEntriesByName(${JSON.stringify(name)}).length > 0`);
    },
    between: tasks.between,
    scripts: () => [...scripts],
    complaints: () => complaints,
    close,
  };
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

/** The tasks of the page's threads, from the browser's trace. */
async function tasksOf(session: CDPSession) {
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
    restart: async (): Promise<void> => {
      await end();
      seen = [];
      await session.send('Tracing.start', { traceConfig: { includedCategories: KINDS } });
      running = true;
    },
    longest: async (): Promise<number> => {
      await end();
      return Math.max(0, ...tasksIn(PAGE).map(({ tdur = 0 }) => tdur)) / 1000;
    },
    between: async (from: string, to: string): Promise<Passed> => {
      await end();
      const [start, stop] = [markedAt(from), markedAt(to)];
      const spent = (thread: string): number =>
        tasksIn(thread)
          .filter(({ ts }) => ts >= start && ts < stop)
          .reduce((sum, { tdur = 0 }) => sum + tdur, 0) / 1000;
      return { clock: (stop - start) / 1000, page: spent(PAGE), worker: spent(WORKER) };
    },
  };
}
