/**
 * Synchronisation of a device with a peer. Entries never change and have ids of their own, so merging is a union and
 * there is nothing to resolve. What is kept between runs are places only, one pair for each tank:
 *
 *   device:  e1 e2 e3 | e4 e5          `pushed`: everything up to here is at the peer, within `pulled`
 *   peer:    a1 e1 e2 e3 a2 | a3       `pulled`: everything up to here is on the device
 *
 * Each run offers the ids after `pushed`, sends what the peer lacks, and then pulls to the peer's end, which takes in
 * what was just sent. Only then does `pushed` move on: so a peer that later turns out not to hold the place `pulled`
 * (it was restored from an older copy, say) may have lost anything, and is begun with anew; one that still holds it
 * has lost nothing.
 *
 * Invariants, whatever fails and wherever it stops:
 * - a place moves on only after what lies before it is safe on both sides;
 * - losing saved places costs time and nothing else: entries already there are passed over by id.
 */
import type { EntryId, TankId } from '../entry/kinds.ts';
import { type Cursor, type Head, type JournalStore, START } from '../port.ts';
import { appendSound, type Peer } from './peer.ts';

export interface TankPlaces {
  /** In the device's order of arrival. */
  readonly pushed: Cursor;
  /** In the peer's order of arrival; undefined before the first entry. */
  readonly pulled: Head | undefined;
}

/** What to keep between runs, for each peer; an empty map is always right, if slow. */
export type SyncPlaces = ReadonlyMap<TankId, TankPlaces>;

export interface SyncReport {
  /** Entries new to the device. */
  readonly pulled: number;
  /** Entries new to the peer. */
  readonly pushed: number;
  /** Two contents under one id, here and there: each side keeps its own. */
  readonly clashes: readonly EntryId[];
  /** Entries the peer does not accept from this device; they are offered again next time. */
  readonly refused: readonly EntryId[];
}

/** Entries offered at once. */
const BATCH = 250;

/**
 * Brings a device and a peer to the same entries.
 * @param places as last saved for this peer
 * @param save called whenever places have moved on
 * @throws whatever the store, the peer or `save` throw; running again goes on from the places last saved
 */
export async function synchronise(
  store: JournalStore,
  peer: Peer,
  places: SyncPlaces,
  save: (places: SyncPlaces) => Promise<void>,
): Promise<SyncReport> {
  const [here, there] = [await store.heads(), await peer.heads()];
  const tally: Tally = { pulled: 0, pushed: 0, clashes: new Set(), refused: new Set() };
  let moved = places;
  for (const tank of new Set([...there.keys(), ...here.keys()])) {
    const keep = async (next: TankPlaces): Promise<void> => {
      moved = new Map(moved).set(tank, next);
      await save(moved);
    };
    const run: Run = { store, peer, tank, keep, tally };
    await synchroniseTank(run, trusted(places.get(tank), here.get(tank)), there.get(tank));
  }
  return { ...tally, clashes: [...tally.clashes], refused: [...tally.refused] };
}

interface Tally {
  pulled: number;
  pushed: number;
  readonly clashes: Set<EntryId>;
  readonly refused: Set<EntryId>;
}

interface Run {
  readonly store: JournalStore;
  readonly peer: Peer;
  readonly tank: TankId;
  readonly keep: (places: TankPlaces) => Promise<void>;
  readonly tally: Tally;
}

const FROM_START: TankPlaces = { pushed: START, pulled: undefined };

/** The saved places, unless the device has less than they say: then its journal was lost and it begins anew. */
const trusted = (places: TankPlaces | undefined, here: Head | undefined): TankPlaces =>
  places !== undefined && places.pushed <= (here?.cursor ?? START) ? places : FROM_START;

const isSame = (a: Head | undefined, b: Head | undefined): boolean =>
  a?.cursor === b?.cursor && a?.last === b?.last;

async function synchroniseTank(run: Run, before: TankPlaces, there: Head | undefined): Promise<void> {
  const sent = await push(run, before.pushed);
  const nothingNew = !sent.any && isSame(there, before.pulled);
  const pulled = nothingNew ? before.pulled : await pull(run, before);
  if (pulled === 'elsewhere') return synchroniseTank(run, FROM_START, there);
  if (pulled !== before.pulled || sent.upTo !== before.pushed) await run.keep({ pushed: sent.upTo, pulled });
}

/** Sends what the peer lacks of all that comes after a place; tells the place up to which it was accepted. */
async function push(run: Run, since: Cursor): Promise<{ upTo: Cursor; any: boolean }> {
  const { store, peer, tank, tally } = run;
  let [upTo, from, any, refused] = [since, since, false, false];
  for (let more = true; more; ) {
    const page = await store.read({ tank, since: from, limit: BATCH });
    const ids = page.entries.map(({ id }) => id);
    const lacking = new Set(ids.length === 0 ? [] : await peer.lacking(tank, ids));
    const entries = page.entries.filter(({ id }) => lacking.has(id));
    if (entries.length > 0) {
      const answer = await peer.push(tank, entries);
      for (const id of answer.clashes) tally.clashes.add(id);
      for (const id of answer.refused) tally.refused.add(id);
      tally.pushed += entries.length - answer.clashes.length - answer.refused.length;
      refused ||= answer.refused.length > 0;
      any = true;
    }
    from = page.cursor;
    if (!refused) upTo = from;
    more = page.more;
  }
  return { upTo, any };
}

/** Keeps all that comes after a place at the peer, and tells the new place; 'elsewhere' where the peer is not there. */
async function pull(run: Run, before: TankPlaces): Promise<Head | undefined | 'elsewhere'> {
  const { store, peer, tank, keep, tally } = run;
  let place = before.pulled;
  for (let more = true; more; ) {
    const page = await peer.pull(tank, place);
    if (page === undefined) {
      if (place === undefined) throw new Error(`the peer does not let tank ${tank} be read from its start`);
      return 'elsewhere';
    }
    tally.pulled += (
      await store.lacking(
        tank,
        page.entries.map(({ id }) => id),
      )
    ).length;
    for (const id of await appendSound(store, page.entries)) tally.clashes.add(id);
    const last = page.entries.at(-1);
    if (last !== undefined) {
      place = { cursor: page.cursor, last: last.id };
      await keep({ pushed: before.pushed, pulled: place });
    }
    more = page.more;
  }
  return place;
}
