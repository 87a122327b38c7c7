import { visit } from '../../apps/web/test/browser/support.ts';
import { type Passed, tasksOf } from './tasks.ts';

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
  /** Whether something that need not happen has. */
  hasMarked(name: string): Promise<boolean>;
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

  const tasks = tasksOf(session);
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
    hasMarked: async (name) =>
      (await evaluated(`performance.getEntriesByName(${JSON.stringify(name)}).length > 0`)) === true,
    between: tasks.between,
    scripts: () => [...scripts],
    complaints: () => complaints,
    close,
  };
}
