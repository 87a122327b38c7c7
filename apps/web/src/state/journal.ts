import type { ArrivalStore, Cursor, Entry, TankFacts, TankId } from '@brinewright/journal';
import { foldAhead, foldInSteps, foldTank, groupedByTank, newEntryId, START } from '@brinewright/journal';
import { indexedDbStore } from '@brinewright/store/indexeddb';
import { memoryStore } from '@brinewright/store/memory';
import { batch, computed, signal } from '@preact/signals';
import { instantHere } from '../format/dates.ts';
import { breathe, inSlices, inSteps } from '../parts/in-slices.ts';
import { appendInParts, type TakenIn } from './append.ts';
import { askPromise } from './persist.ts';
import { author } from './person.ts';

/** Where the journal stands: kept by the browser, or only held until the page closes. */
export type Standing =
  | { readonly kind: 'opening' }
  | { readonly kind: 'kept' }
  | { readonly kind: 'memory'; readonly why: string };

export const standing = signal<Standing>({ kind: 'opening' });
export const entries = signal<readonly Entry[]>([]);

/** Entries by tank; a tank nobody wrote about keeps the same list. */
const byTank = signal<ReadonlyMap<TankId, readonly Entry[]>>(new Map());

const folded = new WeakMap<readonly Entry[], TankFacts>();

/** The tanks on this device, in the order in which they came. */
export const tankIds = computed<readonly TankId[]>(() => [...byTank.value.keys()]);

/** What the entries of one tank add up to; undefined where it is not on this device. */
export function factsFor(tank: TankId): TankFacts | undefined {
  const own = byTank.value.get(tank);
  return own && factsOf(tank, own);
}

/** What can be said of a tank in a long list. */
export interface Brief {
  readonly name: string | undefined;
  /** When it was last tested; epoch milliseconds. */
  readonly testedAt: number | undefined;
}

const briefs = new WeakMap<readonly Entry[], Brief>();

/** A tank in brief, read off its entries where no correction and no second name makes folding them necessary. */
export function briefOf(tank: TankId): Brief | undefined {
  const own = byTank.value.get(tank);
  if (own === undefined) return undefined;
  return briefs.get(own) ?? readBrief(tank, own);
}

function readBrief(tank: TankId, own: readonly Entry[]): Brief {
  const brief = readOff(own) ?? briefFrom(factsOf(tank, own));
  briefs.set(own, brief);
  return brief;
}

const briefFrom = ({ name, readings }: TankFacts): Brief => ({ name, testedAt: readings.at(-1)?.at });

function readOff(own: readonly Entry[]): Brief | undefined {
  let name: string | undefined;
  let testedAt: number | undefined;
  for (const { kind, at, body } of own) {
    if (kind === 'amend' || kind === 'strike') return undefined;
    if (kind === 'reading') testedAt = Math.max(testedAt ?? 0, Date.parse(at));
    if (kind !== 'tank' || !('name' in body)) continue;
    if (name !== undefined) return undefined;
    name = String(body.name);
  }
  return { name, testedAt };
}

/** The same of every tank. With hundreds of them that takes a while: ask for those in view where you can. */
export const tanks = computed<ReadonlyMap<TankId, TankFacts>>(
  () => new Map([...byTank.value].map(([tank, own]) => [tank, factsOf(tank, own)])),
);

function factsOf(tank: TankId, own: readonly Entry[]): TankFacts {
  const known = folded.get(own);
  if (known !== undefined) return known;
  const facts = foldTank(own, tank);
  folded.set(own, facts);
  return facts;
}

const NONE: readonly Entry[] = [];
export const entriesOf = (tank: TankId): readonly Entry[] => byTank.value.get(tank) ?? NONE;

/** Where the journal is kept; there from the moment it was opened. */
export let store: ArrivalStore;
const others =
  typeof BroadcastChannel === 'undefined' ? undefined : new BroadcastChannel('brinewright.journal');

export interface Opened {
  /** Nothing had been kept here before. */
  readonly first: boolean;
  readonly standing: Standing;
}

/**
 * Opens the journal, in memory where the browser refuses to keep it, and follows what other tabs write.
 * @param firstEntries what a journal without any entry starts with
 */
export async function openJournal(firstEntries: () => readonly Entry[]): Promise<Opened> {
  let first = false;
  let opened: Standing = { kind: 'kept' };
  try {
    store = await indexedDbStore();
  } catch (error) {
    store = memoryStore();
    opened = { kind: 'memory', why: error instanceof Error ? error.message : String(error) };
  }
  await oneTabAtATime(async () => {
    await refresh();
    first = entries.value.length === 0;
    if (first) await keep(firstEntries());
  });
  others?.addEventListener('message', () => void refresh());
  return { first, standing: opened };
}

/** Two tabs opened at once must not both find the journal empty. */
const oneTabAtATime = (work: () => Promise<void>): Promise<unknown> =>
  'locks' in navigator ? navigator.locks.request('brinewright.opening', work) : work();

/** Entries read in one go, as for writing. */
const PAGE = 200;

/** How far this page has read; the journal only grows, so what is new stands behind it. */
let place: Cursor = START;
let reading: Promise<void> = Promise.resolve();

/** Reads what is new, one reading after the other, so that nothing is read twice. */
function refresh(): Promise<void> {
  reading = reading.then(readOn, readOn);
  return reading;
}

async function readOn(): Promise<void> {
  const fresh: Entry[] = [];
  for (let more = true; more; ) {
    const page = await store.arrivals({ since: place, limit: PAGE });
    fresh.push(...page.entries);
    place = page.cursor;
    more = page.more;
  }
  if (fresh.length > 0) await takeUp(fresh);
}

/** A list this long is folded before anyone asks for its facts, in tasks of its own. */
const LONG = 500;

/** All that a page asks of many tanks or of a long one is got ready in slices, before anything is drawn anew. */
async function takeUp(fresh: readonly Entry[]): Promise<void> {
  const lists = new Map(byTank.value);
  const groups = [...groupedByTank(fresh)];
  await inSlices(groups, ([tank, own]) => {
    const list = [...(lists.get(tank) ?? []), ...own];
    lists.set(tank, list);
    if (list.length < LONG) readBrief(tank, list);
  });
  for (const [tank, own] of groups) {
    const list = lists.get(tank) ?? own;
    if (list.length < LONG) continue;
    await inSlices(own, foldAhead);
    folded.set(list, await inSteps(foldInSteps(list, tank)));
    await breathe();
  }
  batch(() => {
    entries.value = [...entries.value, ...fresh];
    byTank.value = lists;
  });
}

/** Merges entries from elsewhere; what was kept before an error stays kept. */
export async function takeIn(made: readonly Entry[]): Promise<TakenIn> {
  const taken = await appendInParts(store, made);
  await broughtIn();
  return taken;
}

/** Entries from elsewhere lie in the store: they are read on, and the browser is asked to keep them. */
export async function broughtIn(): Promise<void> {
  await arrived();
  void askPromise().catch(() => undefined);
}

/** Other hands have appended to the store: here and in other tabs it is read on. */
export function arrived(): Promise<void> {
  others?.postMessage('written');
  return refresh();
}

/** Keeps what a person wrote; resolves once it would survive the device losing power. Returns how many were new. */
export async function write(made: readonly Entry[]): Promise<number> {
  const added = await keep(made);
  void askPromise().catch(() => undefined);
  return added;
}

async function keep(made: readonly Entry[]): Promise<number> {
  const { added } = await store.append(made);
  others?.postMessage('written');
  // They are kept: a fault in reading them back must not be told as a fault in writing.
  await refresh().catch(() => undefined);
  return added.length;
}

interface Deed {
  readonly kind: Entry['kind'];
  readonly body: object;
}

/** Entries for things that happened at `at` and are written down now, by whoever is signed in. */
export function entriesFor(tank: TankId, at: number, deeds: readonly Deed[]): Entry[] {
  const writtenAt = Date.now();
  const by = author.value;
  return deeds.map(({ kind, body }) => ({
    id: newEntryId(writtenAt, crypto.getRandomValues(new Uint8Array(10))),
    tank,
    at: instantHere(at),
    recorded: instantHere(writtenAt),
    ...(by !== undefined && { by }),
    kind,
    body: body as Readonly<Record<string, unknown>>,
  }));
}
