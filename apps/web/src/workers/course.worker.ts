import { ordersOf, predict, type Reckoning, reckon, sheetOf } from '@brinewright/counsel';
import { foldTank, type TankId } from '@brinewright/journal';
import type { FromWorker, ToWorker } from './protocol.ts';
import { PROTOCOL } from './protocol.ts';

/** How long to reckon before looking whether anyone has called it off. */
const SLICE_MS = 24;
/** Courses held for questions and for going on from; each is some megabytes. */
const HELD = 6;

const held = new Map<TankId, Reckoning>();
const cancelled = new Set<number>();

type Reckon = Extract<ToWorker, { kind: 'reckon' }>;
type Expect = Extract<ToWorker, { kind: 'expect' }>;
type Without<T> = T extends unknown ? Omit<T, 'protocol' | 'request'> : never;

const post = (request: number, message: Without<FromWorker>) =>
  self.postMessage({ protocol: PROTOCOL, request, ...message });

/** Lets waiting messages in, a cancellation among them. */
const breathe = () =>
  new Promise<void>((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      resolve();
    };
    port2.postMessage(null);
  });

self.addEventListener('message', ({ data }: MessageEvent<ToWorker>) => {
  if (data.protocol !== PROTOCOL) return;
  if (data.kind === 'cancel') cancelled.add(data.request);
  else if (data.kind === 'reckon') void answered(data.request, () => course(data));
  else void answered(data.request, () => expectations(data));
});

async function answered(request: number, work: () => Promise<Without<FromWorker>>): Promise<void> {
  try {
    post(request, await work());
  } catch (error) {
    post(request, { kind: 'failed', why: error instanceof Error ? error.message : String(error) });
  }
  cancelled.delete(request);
}

async function course({
  request,
  tank,
  entries,
  asOf,
  seed,
  days,
  timeZone,
}: Reckon): Promise<Without<FromWorker>> {
  const facts = foldTank(entries, tank);
  const previous = held.get(tank);
  const work = reckon(facts, { asOf, seed, days, ...(previous && { previous }) });
  let until = performance.now() + SLICE_MS;
  for (let step = work.next(); ; step = work.next()) {
    if (step.done) {
      hold(tank, step.value);
      return {
        kind: 'sheet',
        sheet: sheetOf(step.value, { timeZone }),
        orders: ordersOf(step.value, { timeZone }),
      };
    }
    if (performance.now() < until) continue;
    post(request, { kind: 'progress', fraction: step.value.fraction, said: step.value.said });
    await breathe();
    if (cancelled.has(request)) return { kind: 'cancelled' };
    until = performance.now() + SLICE_MS;
  }
}

function hold(tank: TankId, reckoning: Reckoning): void {
  held.delete(tank);
  held.set(tank, reckoning);
  const oldest = held.keys().next();
  if (held.size > HELD && !oldest.done) held.delete(oldest.value);
}

async function expectations({ tank, asks }: Expect): Promise<Without<FromWorker>> {
  const reckoning = held.get(tank);
  if (reckoning === undefined) return { kind: 'unreckoned' };
  return { kind: 'expected', predictions: asks.map((ask) => expected(reckoning, ask)) };
}

function expected(reckoning: Reckoning, ask: Expect['asks'][number]) {
  try {
    return predict(reckoning, ask);
  } catch {
    return null;
  }
}
