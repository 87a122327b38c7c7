import type { SyncPlaces, TankId } from '@brinewright/journal';
import type { DeviceStore } from '@brinewright/store/indexeddb';
import { DEMONSTRATION } from '../demo/plant.ts';
import { arrived, entriesOf, store, tankIds } from '../state/journal.ts';
import { type Person, person, type Role } from '../state/person.ts';
import { goes, type Refused, remember, sharing, waitingOf } from '../state/sharing.ts';
import { type Agreed, agree, type Listed } from './agree.ts';
import { ask } from './ask.ts';
import { catchUp } from './catch-up.ts';
import { placeOf } from './peer.ts';

export interface Here {
  readonly shared: boolean;
  readonly person: Person | null;
}

/** What serves these pages. @throws Unreachable, Refusal */
export const askWhere = (): Promise<Here> => ask('GET', '/api/here');

/** Takes down who is signed in; another person's parts are not this one's. */
export function meet({ shared, person: now }: Here): void {
  const before = person.peek().now;
  if (now !== null) {
    if (now.account !== before?.account) remember({ roles: {}, refused: {} });
    person.value = { now };
  }
  remember({ server: shared ? 'shared' : 'alone' });
}

interface TankOnServer {
  readonly tank: TankId;
  readonly role: Role;
  readonly place: string | null;
}

/** One synchronisation of everything. @throws Unreachable, Refusal */
export async function runOnce(): Promise<void> {
  const listed = await listTanks();
  const parts = new Map([...listed].map(([tank, { role }]): [TankId, Role] => [tank, role]));
  const offered = tankIds.peek().filter((tank) => !listed.has(tank) && goes(tank) && !isGivenUp(tank));
  const barred = barredIn(parts);
  rememberRoles(parts);
  const { clashes, refused } = await agreeInBatches(listed, offered);
  for (const tank of offered) {
    if (refused[tank] === undefined) parts.set(tank, 'keeper');
    else if (refused[tank].why === 'not-here') givenUp.set(tank, entriesOf(tank).length);
  }
  rememberRoles(parts);
  remember({
    agreedAt: Date.now(),
    agreed: Object.fromEntries([...parts.keys()].map((tank) => [tank, entriesOf(tank).length])),
    refused: { ...barred, ...refused },
    clashes: [...new Set([...sharing.peek().clashes, ...clashes])],
  });
}

async function agreeInBatches(
  listed: ReadonlyMap<TankId, Listed>,
  offered: readonly TankId[],
): Promise<Agreed> {
  const places = placesKept();
  const { save, flush } = inBatches(places.keep);
  try {
    const taken = await catchUp(store, listed);
    const known = new Map([...(await places.read()), ...taken]);
    if (taken.size > 0) await save(known);
    return await agree({ store, listed, offered, places: known, save });
  } finally {
    await flush();
  }
}

async function listTanks(): Promise<ReadonlyMap<TankId, Listed>> {
  const list = await ask<readonly TankOnServer[]>('GET', '/api/tanks');
  return new Map(
    list
      .filter(({ tank }) => tank !== DEMONSTRATION)
      .map(({ tank, role, place }) => [tank, { role, head: placeOf(place) }]),
  );
}

function rememberRoles(parts: ReadonlyMap<TankId, Role>): void {
  if (sharing.peek().server === 'shared') remember({ roles: Object.fromEntries(parts) });
}

/** Tanks of someone else under an id of ours: they are not offered again before more was written. */
const givenUp = new Map<TankId, number>();
const isGivenUp = (tank: TankId): boolean => givenUp.get(tank) === entriesOf(tank).length;

/** What was written here of tanks in which one may only read by now. */
function barredIn(parts: ReadonlyMap<TankId, Role>): Readonly<Record<string, Refused>> {
  const { agreed, refused } = sharing.peek();
  const barred: Record<string, Refused> = {};
  for (const [tank, role] of parts) {
    if (role === 'keeper') continue;
    const fresh = agreed[tank] === undefined ? 0 : waitingOf(tank);
    const count = fresh + (refused[tank]?.count ?? 0);
    if (count > 0) barred[tank] = { count, why: 'not-allowed' };
  }
  return barred;
}

const SERVER = 'server';
let inMemory: SyncPlaces = new Map();

/** Places are kept beside the journal they belong to, and with it lost. */
function placesKept() {
  const device = 'places' in store ? (store as DeviceStore) : undefined;
  return {
    read: async (): Promise<SyncPlaces> => (await device?.places(SERVER)) ?? inMemory,
    keep: async (places: SyncPlaces): Promise<void> => {
      inMemory = places;
      await device?.keepPlaces(SERVER, places);
    },
  };
}

const BATCH_MS = 1500;

/**
 * Keeps places, and shows what arrived, now and then and at the end: with many tanks, doing so for each would take
 * longest.
 */
function inBatches(keep: (places: SyncPlaces) => Promise<void>) {
  let last = performance.now();
  let unsaved: SyncPlaces | undefined;
  const flush = async () => {
    if (unsaved === undefined) return;
    await keep(unsaved);
    unsaved = undefined;
    last = performance.now();
    await arrived();
  };
  const save = async (places: SyncPlaces) => {
    unsaved = places;
    if (performance.now() - last > BATCH_MS) await flush();
  };
  return { save, flush };
}
