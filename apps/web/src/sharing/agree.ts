import {
  type Cursor,
  type EntryId,
  type Head,
  type JournalStore,
  START,
  type SyncPlaces,
  synchronise,
  type TankId,
} from '@brinewright/journal';
import type { Role } from '../state/person.ts';
import type { Refused } from '../state/sharing.ts';
import { Refusal } from './ask.ts';
import { tankPeer } from './peer.ts';

/** A tank as the server lists it. */
export interface Listed {
  readonly role: Role;
  readonly head: Head | undefined;
}

interface Sides {
  readonly store: JournalStore;
  /** What the server has of the tanks that whoever asks has a part in. */
  readonly listed: ReadonlyMap<TankId, Listed>;
  /** Tanks of this device that are to go there though it does not list them. */
  readonly offered: readonly TankId[];
  readonly places: SyncPlaces;
  readonly save: (places: SyncPlaces) => Promise<void>;
}

export interface Agreed {
  readonly clashes: ReadonlySet<EntryId>;
  readonly refused: Readonly<Record<string, Refused>>;
}

/**
 * Brings this device and the server to the same entries, a tank after the other; a tank on which nothing moved on
 * either side costs nothing. What the server refuses of one tank does not keep the others waiting.
 * @throws Unreachable, or Refusal where it concerns all tanks; what was done before stays done
 */
export async function agree({ store, listed, offered, places, save }: Sides): Promise<Agreed> {
  const here = await store.heads();
  const refused: Record<string, Refused> = {};
  const clashes = new Set<EntryId>();
  let moved = places;
  const keep = async (tank: TankId, own: SyncPlaces) => {
    const place = own.get(tank);
    if (place === undefined) return;
    moved = new Map(moved).set(tank, place);
    await save(moved);
  };
  for (const tank of new Set([...listed.keys(), ...offered])) {
    const there = listed.get(tank);
    const mine = there === undefined || there.role === 'keeper';
    if (isSettled(moved, tank, mine ? here.get(tank) : undefined, there?.head)) continue;
    try {
      const own = mine ? store : readOnly(store);
      const report = await synchronise(
        oneTank(own, tank, here.get(tank)),
        tankPeer(tank, there?.head),
        moved,
        (next) => keep(tank, next),
      );
      for (const id of report.clashes) clashes.add(id);
      if (report.refused.length > 0) refused[tank] = { count: report.refused.length, why: 'unsound' };
      else if (mine) await keep(tank, await settled(store, moved, tank, here.get(tank), report.pulled));
    } catch (error) {
      const why = refusedTank(error);
      if (why === undefined) throw error;
      refused[tank] = { count: await countAfter(store, tank, moved.get(tank)?.pushed), why };
    }
  }
  return { clashes, refused };
}

/** Whether nothing moved on either side since they last agreed. */
function isSettled(
  places: SyncPlaces,
  tank: TankId,
  here: Head | undefined,
  there: Head | undefined,
): boolean {
  const place = places.get(tank);
  if (place === undefined || there === undefined) return false;
  const { pulled, pushed } = place;
  const same = pulled?.cursor === there.cursor && pulled.last === there.last;
  return same && (here === undefined || here.cursor === pushed);
}

/**
 * What was pulled is at the server, and need not be offered to it again: the place moves behind it, unless something
 * was written here meanwhile.
 */
async function settled(
  store: JournalStore,
  places: SyncPlaces,
  tank: TankId,
  before: Head | undefined,
  pulled: number,
): Promise<SyncPlaces> {
  const place = places.get(tank);
  let [since, count] = [before?.cursor ?? START, 0];
  for (let more = true; more; ) {
    const page = await store.read({ tank, since });
    count += page.entries.length;
    since = page.cursor;
    more = page.more;
  }
  return place !== undefined && count === pulled ? new Map([[tank, { ...place, pushed: since }]]) : new Map();
}

async function countAfter(store: JournalStore, tank: TankId, place: Cursor = START): Promise<number> {
  return (await store.read({ tank, since: place })).entries.length;
}

/** Problems that are one tank's own. */
function refusedTank(error: unknown): Refused['why'] | undefined {
  if (!(error instanceof Refusal)) return undefined;
  const { kind } = error;
  return kind === 'not-allowed' || kind === 'not-here' || kind === 'unsound' ? kind : undefined;
}

const oneTank = (store: JournalStore, tank: TankId, head: Head | undefined): JournalStore => ({
  ...store,
  heads: async () => new Map(head === undefined ? [] : [[tank, head]]),
});

/** A store of which nothing is handed over: the place up to which it was stays where it is. */
const readOnly = (store: JournalStore): JournalStore => ({
  ...store,
  read: async ({ since = START }) => ({ entries: [], cursor: since, more: false }),
});
