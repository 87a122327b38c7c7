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

/**
 * A phone a quarter as fast as this machine. It is driven by the browser's own protocol alone: what a test's driver puts
 * into a page to find things and wait for them costs as much there as the page itself.
 */
export interface SlowPhone {
  open(address: string): Promise<void>;
  /** Waits until an expression in the page is truthy. */
  until(expression: string): Promise<void>;
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
  /** Processor time. */
  readonly tdur?: number;
  readonly args: { readonly name?: string };
}

/** The tasks of the page's thread, from the browser's trace. */
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
  return {
    restart: async (): Promise<void> => {
      await end();
      seen = [];
      await session.send('Tracing.start', { traceConfig: { includedCategories: ['toplevel'] } });
      running = true;
    },
    longest: async (): Promise<number> => {
      await end();
      const threadOf = ({ pid, tid }: Traced) => `${pid} ${tid}`;
      const pages = new Set(seen.filter(({ args }) => args.name === 'CrRendererMain').map(threadOf));
      const own = seen.filter((one) => one.name.endsWith('RunTask') && pages.has(threadOf(one)));
      return Math.max(0, ...own.map(({ tdur = 0 }) => tdur)) / 1000;
    },
  };
}
