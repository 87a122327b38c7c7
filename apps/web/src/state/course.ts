import type { Prediction } from '@brinewright/counsel';
import type { TankId } from '@brinewright/journal';
import type { Signal } from '@preact/signals';
import { signal } from '@preact/signals';
import type { Ask, FromWorker, ToWorker } from '../workers/protocol.ts';
import { PROTOCOL } from '../workers/protocol.ts';
import { entriesOf } from './journal.ts';
import type { Shelved } from './shelf.ts';
import { putOnShelf, readShelf } from './shelf.ts';

/** What is known of a tank's course: the last good answer stays while the next is being reckoned. */
export interface Answer {
  readonly last?: Shelved;
  readonly work?: { readonly fraction: number; readonly said: string };
  readonly failed?: string;
}

const SEED = 20_261;
const HORIZON_DAYS = 90;
/** An answer this old is reckoned again though nothing was written: the water has moved on. */
const STALE_MS = { lookedAt: 3 * 3_600_000, inPassing: 24 * 3_600_000 };

const answers = new Map<TankId, Signal<Answer>>();
/** Tanks whose course the worker holds, and so can say what to expect. */
const held = new Set<TankId>();
const queue: TankId[] = [];
const waiting = new Map<number, (message: FromWorker) => void>();
let running: { readonly tank: TankId; readonly request: number; readonly seen: number } | undefined;
let requests = 0;
let worker: Worker | undefined;

export function answerOf(tank: TankId): Signal<Answer> {
  const known = answers.get(tank);
  if (known !== undefined) return known;
  const fresh = signal<Answer>({});
  answers.set(tank, fresh);
  return fresh;
}

/** Puts the answers of earlier visits in place, before anything is reckoned. */
export async function takeFromShelf(): Promise<void> {
  for (const [tank, last] of await readShelf()) answerOf(tank as TankId).value = { last };
}

/** Reckons a tank if its answer is missing, has not seen the newest entries, or is old. The tank looked at goes first. */
export function keepCurrent(tank: TankId, first = false): void {
  const { last, failed } = answerOf(tank).peek();
  const seen = entriesOf(tank).length;
  if (failed !== undefined && last?.seen === seen) return;
  const fresh =
    last !== undefined &&
    last.seen === seen &&
    Date.now() - last.reckonedAt < STALE_MS[first ? 'lookedAt' : 'inPassing'];
  if (!fresh) reckon(tank, first);
}

/** As `keepCurrent`, and makes sure that the worker can be asked what to expect. */
export function keepExpecting(tank: TankId): void {
  if (held.has(tank)) keepCurrent(tank, true);
  else reckon(tank, true);
}

export function reckon(tank: TankId, first = false): void {
  const seen = entriesOf(tank).length;
  if (running?.tank === tank) {
    if (running.seen === seen) return;
    post({ kind: 'cancel' }, running.request);
  }
  const at = queue.indexOf(tank);
  if (at >= 0) queue.splice(at, 1);
  if (first) queue.unshift(tank);
  else queue.push(tank);
  next();
}

/** What readings taken then would show; undefined where the worker has no course to say it from. */
export async function expectReadings(
  tank: TankId,
  asks: readonly Ask[],
): Promise<readonly (Prediction | null)[] | undefined> {
  const message = await ask({ kind: 'expect', tank, asks });
  return message.kind === 'expected' ? message.predictions : undefined;
}

function next(): void {
  if (running !== undefined) return;
  const tank = queue.shift();
  if (tank === undefined) return;
  const entries = entriesOf(tank);
  const asOf = Date.now();
  const request = ++requests;
  running = { tank, request, seen: entries.length };
  change(tank, { work: { fraction: 0, said: '' } });
  waiting.set(request, (message) => received(tank, { asOf, seen: entries.length }, message));
  const { timeZone } = Intl.DateTimeFormat().resolvedOptions();
  post({ kind: 'reckon', tank, entries, asOf, seed: SEED, days: HORIZON_DAYS, timeZone }, request);
}

function received(tank: TankId, { asOf, seen }: { asOf: number; seen: number }, message: FromWorker): void {
  if (message.kind === 'progress') {
    change(tank, { work: { fraction: message.fraction, said: message.said } });
    return;
  }
  waiting.delete(message.request);
  running = undefined;
  const signal = answerOf(tank);
  if (message.kind === 'sheet') {
    const last = { sheet: message.sheet, orders: message.orders, reckonedAt: asOf, seen };
    held.add(tank);
    signal.value = { last };
    void putOnShelf(tank, last);
  } else {
    const { work: _, failed: __, ...rest } = signal.peek();
    signal.value = message.kind === 'failed' ? { ...rest, failed: message.why } : rest;
  }
  next();
}

function change(tank: TankId, part: Partial<Answer>): void {
  const signal = answerOf(tank);
  const { failed: _, ...rest } = signal.peek();
  signal.value = { ...rest, ...part };
}

type Without<T> = T extends unknown ? Omit<T, 'protocol' | 'request'> : never;

function post(message: Without<ToWorker>, request: number): void {
  worker ??= startWorker();
  worker.postMessage({ protocol: PROTOCOL, request, ...message });
}

function ask(message: Without<ToWorker>): Promise<FromWorker> {
  const request = ++requests;
  return new Promise((resolve) => {
    waiting.set(request, (answer) => {
      waiting.delete(request);
      resolve(answer);
    });
    post(message, request);
  });
}

function startWorker(): Worker {
  const started = new Worker(new URL('../workers/course.worker.ts', import.meta.url), { type: 'module' });
  started.addEventListener('message', ({ data }: MessageEvent<FromWorker>) => {
    if (data.protocol === PROTOCOL) waiting.get(data.request)?.(data);
  });
  started.addEventListener('error', (event) => {
    worker = undefined;
    held.clear();
    for (const [request, answer] of waiting)
      answer({ protocol: PROTOCOL, request, kind: 'failed', why: event.message ?? '' });
  });
  return started;
}
