import {
  explain,
  firstOrdersOf,
  ideasOf,
  isSuspected,
  learnKits,
  ordersOf,
  predict,
  type Reckoning,
  reckon,
  settleAhead,
  sheetOf,
  whatIf,
} from '@brinewright/counsel';
import type { Progress } from '@brinewright/evidence';
import {
  type Entry,
  entriesAsOf,
  entryOfLine,
  foldTank,
  parseJournal,
  sayProblem,
  type TankId,
} from '@brinewright/journal';
import { indexedDbStore } from '@brinewright/store/indexeddb';
import { breathe } from '../parts/in-slices.ts';
import { appendInParts } from '../state/append.ts';
import { handsHere, handsWhileDrawing } from './hands.ts';
import type { FromWorker, Task, Told, ToWorker } from './protocol.ts';
import { PROTOCOL, textOfLore } from './protocol.ts';

/** How long to reckon before looking whether anyone has called it off. */
const SLICE_MS = 24;
/** How long to go on before saying again how far it is: the page has better things to draw. */
const SAY_MS = 100;
/** How long the page may draw before the worker goes on by itself. */
const DRAW_MS = 1000;
/** Courses held for questions and for going on from; each is some megabytes. */
const HELD = 6;

const held = new Map<TankId, Reckoning>();
const cancelled = new Set<number>();
/** The entries of each tank as far as this worker has been told of them: they are read, judged and dated once. */
const logs = new Map<TankId, readonly Entry[]>();

type Reckon = Extract<ToWorker, { kind: 'reckon' }>;
type Foresee = Extract<ToWorker, { kind: 'foresee' }>;
type Learn = Extract<ToWorker, { kind: 'learn' }>;
type Suppose = Extract<ToWorker, { kind: 'suppose' }>;
type Expect = Extract<ToWorker, { kind: 'expect' }>;
type Without<T> = T extends unknown ? Omit<T, 'protocol' | 'request'> : never;
type Reply = Without<FromWorker>;

const post = (request: number, message: Reply) =>
  self.postMessage({ protocol: PROTOCOL, request, ...message });

self.addEventListener('message', ({ data }: MessageEvent<ToWorker>) => {
  if (data.protocol !== PROTOCOL) return;
  if (data.kind === 'cancel') cancelled.add(data.request);
  else if (data.kind === 'reckon')
    void answered(data.request, () => course(data.request, data)).then(() => settled(data.tank));
  else if (data.kind === 'foresee') void answered(data.request, () => foresee(data.request, data));
  else if (data.kind === 'recall') void answered(data.request, () => recalled(data.request, data));
  else if (data.kind === 'suppose') void answered(data.request, () => supposed(data.request, data));
  else if (data.kind === 'learn') void answered(data.request, () => learnt(data.request, data));
  else if (data.kind === 'bring') void answered(data.request, () => brought(data.text));
  else if (data.kind === 'explain') void answered(data.request, () => explained(data.request, data.tank));
  else if (data.kind === 'parse') void answered(data.request, () => Promise.resolve(parsed(data.text)));
  else void answered(data.request, () => expectations(data));
});

/** Requests being answered. */
let answering = 0;

async function answered(request: number, work: () => Promise<Reply>): Promise<void> {
  answering++;
  try {
    post(request, await work());
  } catch (error) {
    if (error instanceof CalledOff) post(request, { kind: 'cancelled' });
    else post(request, { kind: 'failed', why: error instanceof Error ? error.message : String(error) });
  }
  cancelled.delete(request);
  answering--;
}

/** Settles a tank's particles while nothing is asked; whatever is asked ends it. The page first draws what it was told. */
async function settled(tank: TankId): Promise<void> {
  await new Promise((resolve) => setTimeout(resolve, DRAW_MS));
  const reckoning = held.get(tank);
  if (!reckoning) return;
  const work = settleAhead(reckoning);
  while (answering === 0 && !work.next().done) await breathe();
}

/** Someone has called it off. */
class CalledOff extends Error {}

/** Runs a generator to its end in slices, telling how far it is; waits where it waits for hands. @throws CalledOff */
async function driven<T>(request: number, work: Generator<Progress, T>): Promise<T> {
  let [until, silent] = [performance.now() + SLICE_MS, performance.now() + SAY_MS];
  for (let step = work.next(); ; step = work.next()) {
    if (step.done) return step.value;
    if (step.value.until) await Promise.race([step.value.until, slice()]);
    const now = performance.now();
    if (now < until) continue;
    if (now >= silent) {
      post(request, { kind: 'progress', fraction: step.value.fraction, said: step.value.said });
      silent = now + SAY_MS;
    }
    await restedOrCalledOff(request);
    until = performance.now() + SLICE_MS;
  }
}

const slice = () => new Promise((resolve) => setTimeout(resolve, SLICE_MS));

async function restedOrCalledOff(request: number): Promise<void> {
  // Lets waiting messages in, a cancellation among them.
  await breathe();
  if (cancelled.has(request)) throw new CalledOff();
}

function logOf({ tank, known, lines }: Told): readonly Entry[] {
  const log = [...(logs.get(tank) ?? []).slice(0, known), ...lines.map(entryOfLine)];
  logs.set(tank, log);
  return log;
}

/** A course that was begun while the last of its entries were still on their way to the disk. */
interface Foresight {
  readonly log: readonly Entry[];
  readonly lore: string;
  readonly work: Promise<Reckoning>;
}
const foresights = new Map<TankId, Foresight>();

async function foresee(request: number, task: Foresee): Promise<Reply> {
  const log = [...logOf(task), ...task.made.map(entryOfLine)];
  const work = reckoned(request, task, log);
  foresights.set(task.tank, { log, lore: textOfLore(task.lore), work });
  await work;
  return { kind: 'foreseen' };
}

/** What was foreseen of just these entries, if anything was. */
async function foreseen({ tank, lore }: Reckon, log: readonly Entry[]): Promise<Reckoning | undefined> {
  const ahead = foresights.get(tank);
  foresights.delete(tank);
  const same =
    ahead?.lore === textOfLore(lore) &&
    ahead.log.length === log.length &&
    ahead.log.every(({ id }, i) => id === log[i]?.id);
  return same ? ahead.work.catch(() => undefined) : undefined;
}

function reckoned(request: number, task: Reckon | Foresee, log: readonly Entry[]): Promise<Reckoning> {
  const { tank, asOf, seed, days, lore } = task;
  const previous = held.get(tank);
  const options = {
    asOf,
    seed,
    days,
    hands: handsWhileDrawing(),
    ...(previous && { previous }),
    ...(lore && { lore }),
  };
  return driven(request, reckon(foldTank(log, tank), options));
}

async function course(request: number, task: Reckon): Promise<Reply> {
  const { tank, timeZone } = task;
  const log = logOf(task);
  const reckoning = (await foreseen(task, log)) ?? (await reckoned(request, task, log));
  hold(tank, reckoning);
  post(request, { kind: 'sheet', sheet: sheetOf(reckoning, { timeZone }), ideas: ideasOf(reckoning) });
  post(request, { kind: 'progress', fraction: 1, said: 'weighing what to do' });
  await restedOrCalledOff(request);
  if (isSuspected(reckoning)) {
    post(request, { kind: 'first-orders', orders: firstOrdersOf(reckoning, { timeZone }) });
    await driven(request, explain(reckoning, handsHere()));
  }
  return { kind: 'orders', orders: ordersOf(reckoning, { timeZone }) };
}

async function recalled(request: number, task: Task): Promise<Reply> {
  const { tank, asOf, seed, days, timeZone } = task;
  const facts = foldTank(entriesAsOf(logOf(task), asOf), tank);
  const reckoning = await driven(request, reckon(facts, { asOf, seed, days, hands: handsWhileDrawing() }));
  return { kind: 'recalled', sheet: sheetOf(reckoning, { timeZone }) };
}

async function learnt(request: number, { of, others, asOf, seed }: Learn): Promise<Reply> {
  const factsOf = (told: Told) => foldTank(logOf(told), told.tank);
  const lore = await driven(request, learnKits(factsOf(of), others.map(factsOf), { asOf, seed }));
  return { kind: 'learnt', lore };
}

async function supposed(request: number, { tank, idea }: Suppose): Promise<Reply> {
  const reckoning = held.get(tank);
  if (reckoning === undefined) return { kind: 'unreckoned' };
  return { kind: 'supposed', alternative: await driven(request, whatIf(reckoning, idea)) };
}

async function explained(request: number, tank: TankId): Promise<Reply> {
  const reckoning = held.get(tank);
  if (reckoning === undefined) return { kind: 'unreckoned' };
  return { kind: 'explained', causes: await driven(request, explain(reckoning, handsHere())) };
}

function parsed(text: string): Reply {
  const { entries, problems } = parseJournal(text);
  return { kind: 'parsed', entries, faults: problems.map(sayProblem) };
}

async function brought(text: string): Promise<Reply> {
  const { entries, problems } = parseJournal(text);
  const store = await indexedDbStore();
  try {
    const { added, clashes } = await appendInParts(store, entries);
    const faults = problems.map(sayProblem);
    return { kind: 'brought', brought: { read: entries.length, added, clashes, faults } };
  } finally {
    await store.close();
  }
}

function hold(tank: TankId, reckoning: Reckoning): void {
  held.delete(tank);
  held.set(tank, reckoning);
  const oldest = held.keys().next();
  if (held.size > HELD && !oldest.done) held.delete(oldest.value);
}

async function expectations({ tank, asks }: Expect): Promise<Reply> {
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
