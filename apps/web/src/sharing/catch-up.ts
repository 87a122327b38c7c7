import {
  type Entry,
  EntryClash,
  entryOfLine,
  type JournalStore,
  type SyncPlaces,
  type TankId,
  type TankPlaces,
} from '@brinewright/journal';
import { tankIds } from '../state/journal.ts';
import type { Listed } from './agree.ts';
import { fetched, Unreachable } from './ask.ts';

/** For fewer tanks asking for each is as quick, and asks for nothing that is here already. */
const WORTH = 20;
/** Entries kept at once: more would hold the page up. */
const BATCH = 60;

/**
 * A device that is new to many tanks takes them all from the one file that holds every journal, rather than asking for
 * each. Cut off in between, what was kept stays kept, and those tanks are synchronised like any others.
 * @returns places of the tanks taken in: all that the server had named of them is here
 */
export async function catchUp(store: JournalStore, listed: ReadonlyMap<TankId, Listed>): Promise<SyncPlaces> {
  const here = new Set(tankIds.peek());
  const fresh = new Map([...listed].filter(([tank, { head }]) => head !== undefined && !here.has(tank)));
  if (fresh.size < WORTH) return new Map();
  try {
    await takeIn(store, (tank) => fresh.has(tank));
  } catch (error) {
    // An id that is kept here already with other content: asking tank by tank finds out which.
    if (error instanceof EntryClash) return new Map();
    throw error;
  }
  const places = new Map<TankId, TankPlaces>();
  for (const [tank, { cursor }] of await store.heads()) {
    const taken = fresh.get(tank);
    if (taken !== undefined) places.set(tank, { pushed: cursor, pulled: taken.head });
  }
  return places;
}

async function takeIn(store: JournalStore, isWanted: (tank: TankId) => boolean): Promise<void> {
  let batch: Entry[] = [];
  for await (const line of linesOf('/api/journal')) {
    if (line.startsWith(HEADER)) continue;
    const entry = entryOfLine(line);
    if (isWanted(entry.tank)) batch.push(entry);
    if (batch.length < BATCH) continue;
    await store.append(batch);
    batch = [];
  }
  await store.append(batch);
}

const HEADER = '{"journal":';
const PATIENCE_MS = 600_000;

/** A file line by line, as it arrives. */
async function* linesOf(path: string): AsyncGenerator<string> {
  const { body } = await fetched('GET', path, undefined, PATIENCE_MS);
  const reader = body?.pipeThrough(new TextDecoderStream()).getReader();
  const next = async () => {
    try {
      return (await reader?.read())?.value;
    } catch (error) {
      // It was cut off on its way.
      throw new Unreachable(error);
    }
  };
  let rest = '';
  for (let piece = await next(); piece !== undefined; piece = await next()) {
    const lines = (rest + piece).split('\n');
    rest = lines.pop() ?? '';
    yield* lines;
  }
}
