import { type Entry, lineOf, type TankId } from '@brinewright/journal';
import type { ReadonlySignal, Signal } from '@preact/signals';
import { computed, signal } from '@preact/signals';
import { type FromWorker, textOfLore } from '../workers/protocol.ts';
import { entriesOf } from './journal.ts';
import { keepLearnt, lastIn, learntOf, neighboursOf, stateOf, takeLores } from './lore.ts';
import type { Shelved } from './shelf.ts';
import { putOnShelf, readShelf } from './shelf.ts';
import { begin, callOff, cancel, isHeld, nowHeld, SEED, taskFor, tell } from './worker.ts';

/** What is known of a tank's course: the last good answer stays while the next is being reckoned. */
export interface Answer {
  readonly last?: Shelved;
  readonly work?: { readonly fraction: number; readonly said: string };
  readonly failed?: string;
  /** Someone left the work off: how many entries it would have seen. */
  readonly leftOff?: number;
}

/** An answer this old is reckoned again though nothing was written: the water has moved on. */
const STALE_MS = { lookedAt: 3 * 3_600_000, inPassing: 24 * 3_600_000 };

const answers = new Map<TankId, Signal<Answer>>();
const queue: TankId[] = [];
let running: { readonly tank: TankId; readonly request: number; readonly seen: number } | undefined;

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
  const [shelf] = await Promise.all([readShelf(), takeLores()]);
  for (const [tank, last] of shelf) answerOf(tank as TankId).value = { last };
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
  if (isHeld(tank) || answerOf(tank).peek().leftOff !== undefined) keepCurrent(tank, true);
  else reckon(tank, true);
}

export function reckon(tank: TankId, first = false): void {
  if (first) lookedAt = tank;
  const seen = entriesOf(tank).length;
  if (running?.tank === tank) {
    if (running.seen === seen && answerOf(tank).peek().leftOff === undefined) return;
    cancel(running.request);
  }
  const at = queue.indexOf(tank);
  if (at >= 0) queue.splice(at, 1);
  if (first) queue.unshift(tank);
  else queue.push(tank);
  next();
}

/** Lets the worker reckon with entries that are on their way to the disk, so that the course is there once they are kept. */
export function foresee(tank: TankId, made: readonly Entry[]): void {
  if (running !== undefined || !isHeld(tank)) return;
  stopLearning();
  const task = taskFor(tank, Date.now());
  const lines = made.map(lineOf);
  begin({ kind: 'foresee', ...task, lore: learntOf(tank)?.lore, made: lines }, () => undefined);
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

function next(): void {
  if (running !== undefined) return;
  const tank = queue.shift();
  if (tank === undefined) {
    learnWhenCalm();
    return;
  }
  stopLearning();
  const seen = entriesOf(tank).length;
  const asOf = Date.now();
  change(tank, { work: { fraction: 0, said: '' } });
  const request = begin({ kind: 'reckon', ...taskFor(tank, asOf), lore: learntOf(tank)?.lore }, (message) =>
    received(tank, { asOf, seen }, message),
  );
  running = { tank, request, seen };
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
  if (learning !== undefined) cancel(learning);
  learning = undefined;
}

/** Learns what other tanks say of the kits of the one looked at, and reckons that anew where it is news. */
function learn(): void {
  const tank = lookedAt;
  const others = tank === undefined ? [] : neighboursOf(tank);
  const state = stateOf(others);
  if (tank === undefined || others.length === 0 || learntOf(tank)?.state === state) return;
  const journals = { of: tell(tank), others: others.map(tell) };
  const request = begin({ kind: 'learn', ...journals, asOf: lastIn(others), seed: SEED }, (message) => {
    if (message.kind === 'progress') return;
    if (learning === request) learning = undefined;
    // Called off, or a journal nothing can be learnt from: its own sheet says why.
    if (message.kind !== 'learnt') return;
    const before = learntOf(tank)?.lore;
    keepLearnt(tank, { state, lore: message.lore });
    if (textOfLore(before) !== textOfLore(message.lore)) reckon(tank);
  });
  learning = request;
}

function received(tank: TankId, { asOf, seen }: { asOf: number; seen: number }, message: FromWorker): void {
  if (message.kind === 'progress') {
    if (answerOf(tank).peek().leftOff === undefined)
      change(tank, { work: { fraction: message.fraction, said: message.said } });
    return;
  }
  const signal = answerOf(tank);
  const before = signal.peek();
  if (message.kind === 'sheet') {
    nowHeld(tank);
    // The water first: what to do about it takes as long again to weigh, and until then the last advice stands.
    const { sheet, ideas } = message;
    const orders = before.last?.orders;
    signal.value = { ...before, last: { sheet, ideas, orders, weighed: 'before', reckonedAt: asOf, seen } };
    return;
  }
  if (message.kind === 'first-orders') {
    const last = before.last && { ...before.last, orders: message.orders, weighed: 'in part' as const };
    signal.value = { ...before, ...(last && { last }) };
    return;
  }
  running = undefined;
  if (message.kind === 'orders' && before.last !== undefined) {
    const last = { ...before.last, orders: message.orders, weighed: 'whole' as const };
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
