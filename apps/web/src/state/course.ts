import type { Alternative, Cause, Idea, KitLore, Prediction, Sheet } from '@brinewright/counsel';
import { lineOf, type TankId } from '@brinewright/journal';
import type { ReadonlySignal, Signal } from '@preact/signals';
import { computed, signal } from '@preact/signals';
import type { Ask, Brought, FromWorker, Task, Told, ToWorker } from '../workers/protocol.ts';
import { PROTOCOL } from '../workers/protocol.ts';
import { entriesOf } from './journal.ts';
import { keepLearnt, lastIn, learntOf, neighboursOf, stateOf, takeLores } from './lore.ts';
import type { Shelved } from './shelf.ts';
import { putOnShelf, readShelf } from './shelf.ts';

/** What is known of a tank's course: the last good answer stays while the next is being reckoned. */
export interface Answer {
  readonly last?: Shelved;
  readonly work?: { readonly fraction: number; readonly said: string };
  readonly failed?: string;
  /** Someone left the work off: how many entries it would have seen. */
  readonly leftOff?: number;
}

const SEED = 20_261;
const HORIZON_DAYS = 90;
/** An answer this old is reckoned again though nothing was written: the water has moved on. */
const STALE_MS = { lookedAt: 3 * 3_600_000, inPassing: 24 * 3_600_000 };

const answers = new Map<TankId, Signal<Answer>>();
/** Tanks whose course the worker holds, and so can say what to expect. */
const held = new Set<TankId>();
/** How many entries of each tank the worker has been told of. */
const told = new Map<TankId, number>();
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

const lasts = new Map<TankId, ReadonlySignal<Shelved | undefined>>();

/** The last good answer alone: who reads this is not drawn anew while the next is on its way. */
export function lastOf(tank: TankId): ReadonlySignal<Shelved | undefined> {
  const known = lasts.get(tank);
  if (known !== undefined) return known;
  const fresh = computed(() => answerOf(tank).value.last);
  lasts.set(tank, fresh);
  return fresh;
}

/** Puts the answers of earlier visits in place, before anything is reckoned. */
export async function takeFromShelf(): Promise<void> {
  await takeLores();
  for (const [tank, last] of await readShelf()) answerOf(tank as TankId).value = { last };
}

/** Reckons a tank if its answer is missing, has not seen the newest entries, or is old. The tank looked at goes first. */
export function keepCurrent(tank: TankId, first = false): void {
  const { last, failed, leftOff } = answerOf(tank).peek();
  const seen = entriesOf(tank).length;
  if (leftOff === seen || (failed !== undefined && last?.seen === seen)) return;
  const fresh =
    last !== undefined &&
    last.seen === seen &&
    Date.now() - last.reckonedAt < STALE_MS[first ? 'lookedAt' : 'inPassing'];
  if (first) lookedAt = tank;
  if (!fresh) reckon(tank, first);
  else if (first) learnWhenCalm();
}

/** As `keepCurrent`, and makes sure that the worker can be asked what to expect. */
export function keepExpecting(tank: TankId): void {
  if (held.has(tank) || answerOf(tank).peek().leftOff !== undefined) keepCurrent(tank, true);
  else reckon(tank, true);
}

export function reckon(tank: TankId, first = false): void {
  if (first) lookedAt = tank;
  const seen = entriesOf(tank).length;
  if (running?.tank === tank) {
    if (running.seen === seen && answerOf(tank).peek().leftOff === undefined) return;
    post({ kind: 'cancel' }, running.request);
  }
  const at = queue.indexOf(tank);
  if (at >= 0) queue.splice(at, 1);
  if (first) queue.unshift(tank);
  else queue.push(tank);
  next();
}

/** Leaves a tank's reckoning off at once; the last good answer stays. */
export function leaveOff(tank: TankId): void {
  const signal = answerOf(tank);
  const { work: _, ...rest } = signal.peek();
  signal.value = { ...rest, leftOff: entriesOf(tank).length };
  const at = queue.indexOf(tank);
  if (at >= 0) queue.splice(at, 1);
  if (running?.tank === tank) callOff(running.request);
}

/** A worker that has not let go by then is ended; the next question starts another. */
const PATIENCE_MS = 40;

function callOff(request: number): void {
  post({ kind: 'cancel' }, request);
  const busy = worker;
  setTimeout(() => {
    if (!waiting.has(request) || worker !== busy) return;
    busy?.terminate();
    ended({ kind: 'cancelled' });
  }, PATIENCE_MS);
}

/** The worker is gone: whoever waits for it is told, and it holds no course any more. */
function ended(news: { kind: 'cancelled' } | { kind: 'failed'; why: string }): void {
  worker = undefined;
  held.clear();
  told.clear();
  for (const [request, answer] of [...waiting]) answer({ protocol: PROTOCOL, request, ...news });
}

/** Work under way that can be left. */
export interface Asked<T> {
  /** Undefined where it was called off. @throws Error where the question cannot be answered */
  readonly answer: Promise<T | undefined>;
  readonly leave: () => void;
}

type OnFraction = (fraction: number) => void;

/** Where an idea would take a tank; its course is reckoned first where the worker does not hold it. */
export function supposeFor(tank: TankId, idea: Idea, onFraction: OnFraction): Asked<Alternative> {
  return inSteps({ kind: 'suppose', tank, idea }, onFraction, (message) =>
    message.kind === 'supposed' ? message.alternative : undefined,
  );
}

/** What may hold a tank up whose course the worker holds, likeliest first. */
export function explainFor(tank: TankId, onFraction: OnFraction): Asked<readonly Cause[]> {
  return inSteps({ kind: 'explain', tank }, onFraction, (message) =>
    message.kind === 'explained' ? message.causes : undefined,
  );
}

/** What the sheet said at an earlier instant, from what was written by then. */
export function recall(tank: TankId, asOf: number, onFraction: OnFraction): Asked<Sheet> {
  const task = taskFor(tank, asOf);
  return inSteps({ kind: 'recall', ...task }, onFraction, (message) =>
    message.kind === 'recalled' ? message.sheet : undefined,
  );
}

export const isHeld = (tank: TankId) => held.has(tank);

function inSteps<T>(
  message: Without<ToWorker>,
  onFraction: OnFraction,
  take: (message: FromWorker) => T | undefined,
): Asked<T> {
  const request = ++requests;
  const answer = new Promise<T | undefined>((resolve, reject) => {
    waiting.set(request, (said) => {
      if (said.kind === 'progress') return onFraction(said.fraction);
      waiting.delete(request);
      if (said.kind === 'failed') reject(new Error(said.why));
      else resolve(take(said));
    });
  });
  post(message, request);
  return { answer, leave: () => callOff(request) };
}

/** What readings taken then would show; undefined where the worker has no course to say it from. */
export async function expectReadings(
  tank: TankId,
  asks: readonly Ask[],
): Promise<readonly (Prediction | null)[] | undefined> {
  const message = await ask({ kind: 'expect', tank, asks });
  return message.kind === 'expected' ? message.predictions : undefined;
}

/** Reads a journal file and keeps what is sound, away from the page's own thread. @throws Error where it cannot */
export async function bringElsewhere(text: string): Promise<Brought> {
  const message = await ask({ kind: 'bring', text });
  if (message.kind === 'brought') return message.brought;
  throw new Error(message.kind === 'failed' ? message.why : message.kind);
}

/** Reads a journal file away from the page's own thread. @throws Error where it cannot be read at all */
export async function parseElsewhere(text: string) {
  const message = await ask({ kind: 'parse', text });
  if (message.kind === 'parsed') return message;
  throw new Error(message.kind === 'failed' ? message.why : message.kind);
}

function next(): void {
  if (running !== undefined) return;
  const tank = queue.shift();
  if (tank === undefined) {
    learnWhenCalm();
    return;
  }
  stopLearning();
  const entries = entriesOf(tank);
  const asOf = Date.now();
  const request = ++requests;
  running = { tank, request, seen: entries.length };
  change(tank, { work: { fraction: 0, said: '' } });
  waiting.set(request, (message) => received(tank, { asOf, seen: entries.length }, message));
  post({ kind: 'reckon', ...taskFor(tank, asOf), lore: learntOf(tank)?.lore }, request);
}

function taskFor(tank: TankId, asOf: number): Task {
  const { timeZone } = Intl.DateTimeFormat().resolvedOptions();
  return { ...tell(tank), asOf, seed: SEED, days: HORIZON_DAYS, timeZone };
}

/** To be sent at once: what is in it counts as told. */
function tell(tank: TankId): Told {
  const entries = entriesOf(tank);
  const known = told.get(tank) ?? 0;
  told.set(tank, entries.length);
  return { tank, known, lines: entries.slice(known).map(lineOf) };
}

/** For so long nothing else was to be reckoned before kits are learnt from other tanks: no reading waits for that. */
const CALM_MS = 1_500;
let lookedAt: TankId | undefined;
let calm: ReturnType<typeof setTimeout> | undefined;
let learning: number | undefined;

function learnWhenCalm(): void {
  stopLearning();
  calm = setTimeout(learn, CALM_MS);
}

function stopLearning(): void {
  clearTimeout(calm);
  if (learning !== undefined) post({ kind: 'cancel' }, learning);
  learning = undefined;
}

/** Learns what other tanks say of the kits of the one looked at, and reckons that anew where it is news. */
function learn(): void {
  const tank = lookedAt;
  const others = tank === undefined ? [] : neighboursOf(tank);
  const state = stateOf(others);
  if (tank === undefined || others.length === 0 || learntOf(tank)?.state === state) return;
  const request = ++requests;
  learning = request;
  waiting.set(request, (message) => {
    if (message.kind === 'progress') return;
    waiting.delete(request);
    if (learning === request) learning = undefined;
    // Called off, or a journal nothing can be learnt from: its own sheet says why.
    if (message.kind !== 'learnt') return;
    const before = learntOf(tank)?.lore;
    keepLearnt(tank, { state, lore: message.lore });
    if (textOf(before) !== textOf(message.lore)) reckon(tank);
  });
  const journals = { of: tell(tank), others: others.map(tell) };
  post({ kind: 'learn', ...journals, asOf: lastIn(others), seed: SEED }, request);
}

const textOf = (lore: KitLore = new Map()): string => JSON.stringify([...lore]);

function received(tank: TankId, { asOf, seen }: { asOf: number; seen: number }, message: FromWorker): void {
  if (message.kind === 'progress') {
    if (answerOf(tank).peek().leftOff === undefined)
      change(tank, { work: { fraction: message.fraction, said: message.said } });
    return;
  }
  const signal = answerOf(tank);
  const before = signal.peek();
  if (message.kind === 'sheet') {
    held.add(tank);
    // The water first: what to do about it takes as long again to weigh, and until then the last advice stands.
    const { sheet, ideas } = message;
    signal.value = { ...before, last: { sheet, ideas, orders: before.last?.orders, reckonedAt: asOf, seen } };
    return;
  }
  waiting.delete(message.request);
  running = undefined;
  if (message.kind === 'orders' && before.last !== undefined) {
    const last = { ...before.last, orders: message.orders };
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
  const { failed: _, leftOff: __, ...rest } = signal.peek();
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
    ended({ kind: 'failed', why: event.message ?? '' });
  });
  return started;
}
