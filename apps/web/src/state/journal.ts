import type { Cursor, Entry, JournalStore, TankFacts, TankId } from '@brinewright/journal';
import { foldJournal, newEntryId, START } from '@brinewright/journal';
import { indexedDbStore } from '@brinewright/store/indexeddb';
import { memoryStore } from '@brinewright/store/memory';
import { computed, signal } from '@preact/signals';
import { instantHere } from '../format/dates.ts';
import { askPromise } from './persist.ts';

/** Where the journal stands: kept by the browser, or only held until the page closes. */
export type Standing =
  | { readonly kind: 'opening' }
  | { readonly kind: 'kept' }
  | { readonly kind: 'memory'; readonly why: string };

export const standing = signal<Standing>({ kind: 'opening' });
export const entries = signal<readonly Entry[]>([]);

/** What the entries of each tank add up to. */
export const tanks = computed<ReadonlyMap<TankId, TankFacts>>(() => foldJournal(entries.value));

export const entriesOf = (tank: TankId) => entries.value.filter((entry) => entry.tank === tank);

let store: JournalStore;
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
    const page = await store.read({ since: place });
    fresh.push(...page.entries);
    place = page.cursor;
    more = page.more;
  }
  if (fresh.length > 0) entries.value = [...entries.value, ...fresh];
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

/** Entries for things that happened at `at` and are written down now. */
export function entriesFor(tank: TankId, at: number, deeds: readonly Deed[]): Entry[] {
  const writtenAt = Date.now();
  return deeds.map(({ kind, body }) => ({
    id: newEntryId(writtenAt, crypto.getRandomValues(new Uint8Array(10))),
    tank,
    at: instantHere(at),
    recorded: instantHere(writtenAt),
    kind,
    body: body as Readonly<Record<string, unknown>>,
  }));
}
