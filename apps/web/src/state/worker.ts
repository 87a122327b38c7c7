import { lineOf, type TankId } from '@brinewright/journal';
import { type FromWorker, PROTOCOL, type Task, type Told, type ToWorker } from '../workers/protocol.ts';
import { entriesOf } from './journal.ts';

export const SEED = 20_261;
const HORIZON_DAYS = 90;

type Without<T> = T extends unknown ? Omit<T, 'protocol' | 'request'> : never;
type Hear = (message: FromWorker) => void;

let worker: Worker | undefined;
let requests = 0;
const waiting = new Map<number, Hear>();
/** Tanks whose course the worker holds, and so can say what to expect. */
const held = new Set<TankId>();
/** How many entries of each tank the worker has been told of. */
const told = new Map<TankId, number>();

export const isHeld = (tank: TankId): boolean => held.has(tank);
export const nowHeld = (tank: TankId): void => void held.add(tank);

/** After these more is said about the same request. */
const MORE: ReadonlySet<FromWorker['kind']> = new Set(['progress', 'sheet', 'first-orders']);

/** Sends the worker a question, starting it where there is none, and hears all it says to that. Returns the request. */
export function begin(message: Without<ToWorker>, hear: Hear): number {
  const request = ++requests;
  waiting.set(request, hear);
  post(message, request);
  return request;
}

/** Asks the worker to let go of a request; it says so once it has. */
export const cancel = (request: number): void => post({ kind: 'cancel' }, request);

/** A worker that has not let go by then is ended; the next question starts another. */
const PATIENCE_MS = 40;

/** As `cancel`, for a person who does not want to wait for it. */
export function callOff(request: number): void {
  cancel(request);
  const busy = worker;
  setTimeout(() => {
    if (!waiting.has(request) || worker !== busy) return;
    busy?.terminate();
    ended({ kind: 'cancelled' });
  }, PATIENCE_MS);
}

function post(message: Without<ToWorker>, request: number): void {
  worker ??= startWorker();
  worker.postMessage({ protocol: PROTOCOL, request, ...message });
}

function startWorker(): Worker {
  const started = new Worker(new URL('../workers/course.worker.ts', import.meta.url), { type: 'module' });
  started.addEventListener('message', ({ data }: MessageEvent<FromWorker>) => {
    if (data.protocol === PROTOCOL) heard(data);
  });
  started.addEventListener('error', (event) => {
    ended({ kind: 'failed', why: event.message ?? '' });
  });
  return started;
}

function heard(message: FromWorker): void {
  const hear = waiting.get(message.request);
  if (!MORE.has(message.kind)) waiting.delete(message.request);
  hear?.(message);
}

/** The worker is gone: whoever waits for it is told, and it holds no course any more. */
function ended(news: { kind: 'cancelled' } | { kind: 'failed'; why: string }): void {
  worker = undefined;
  held.clear();
  told.clear();
  for (const request of [...waiting.keys()]) heard({ protocol: PROTOCOL, request, ...news });
}

/** A tank as of an instant; to be sent at once, as `tell`. */
export function taskFor(tank: TankId, asOf: number): Task {
  const { timeZone } = Intl.DateTimeFormat().resolvedOptions();
  return { ...tell(tank), asOf, seed: SEED, days: HORIZON_DAYS, timeZone };
}

/** What the worker does not know of a journal yet; to be sent at once: what is in it counts as told. */
export function tell(tank: TankId): Told {
  const entries = entriesOf(tank);
  const known = told.get(tank) ?? 0;
  told.set(tank, entries.length);
  return { tank, known, lines: entries.slice(known).map(lineOf) };
}
