/** What the test asks of the page: run in the browser, called by name. */
import {
  type Entry,
  lineOf,
  newEntryId,
  newTankId,
  type SyncPlaces,
  type SyncReport,
  storePeer,
  synchronise,
} from '@brinewright/journal';
import { arrivalCases, conformanceCases } from '@brinewright/store/conformance';
import { indexedDbStore } from '@brinewright/store/indexeddb';
import { memoryStore } from '@brinewright/store/memory';
import { batch, batchesIn } from './batches.ts';

declare global {
  function runCase(name: string): Promise<string>;
  function appendNotes(place: string, from: number, to: number): Promise<number>;
  function countNotes(place: string): Promise<number>;
  /** Appends batches until it is ended; says the number of each that was confirmed. */
  function appendBatches(first: number): Promise<void>;
  function batchesKept(): Promise<[number, number][]>;
  function syncWithPlaces(): Promise<SyncReport[]>;
  function openOlder(version: number): Promise<object>;
  function openNewer(): Promise<string>;
  function upgradeBeside(): Promise<string>;
}

const unused = (): string => `place-${crypto.randomUUID()}`;

globalThis.runCase = async (name) => {
  const found = [...conformanceCases, ...arrivalCases].find((one) => one.name === name);
  if (found === undefined) return `no case is called "${name}"`;
  const place = unused();
  try {
    await found.run({ open: () => indexedDbStore(place) });
    return 'held';
  } catch (error) {
    return error instanceof Error ? `${error.name}: ${error.message}` : String(error);
  }
};

globalThis.appendNotes = async (place, from, to) => {
  const store = await indexedDbStore(place);
  for (let n = from; n < to; n += 50) await store.append(Array.from({ length: 50 }, (_, i) => note(n + i)));
  return store.count();
};

globalThis.countNotes = async (place) => (await indexedDbStore(place)).count();

globalThis.appendBatches = async (first) => {
  const store = await indexedDbStore('batches');
  for (let number = first; ; number++) {
    await store.append(batch(number));
    console.log(String(number));
  }
};

globalThis.batchesKept = async () => batchesIn(await indexedDbStore('batches'));

globalThis.syncWithPlaces = async () => {
  const place = unused();
  const server = storePeer(memoryStore());
  const run = async (): Promise<SyncReport> => {
    const store = await indexedDbStore(place);
    await store.append([note(1), note(2)]);
    const save = (places: SyncPlaces) => store.keepPlaces('server', places);
    const report = await synchronise(store, server, await store.places('server'), save);
    await store.close();
    return report;
  };
  const first = await run();
  server.lacking = async () => {
    throw new Error('asked again');
  };
  return [first, await run()];
};

/** Fills a journal as an earlier version of the program laid it out, and opens it. */
globalThis.openOlder = async (version) => {
  const place = unused();
  const older = await upgraded(place, version, (db) => {
    const entries = db.createObjectStore('entries', { keyPath: 'seq', autoIncrement: true });
    entries.createIndex('id', 'id', { unique: true });
    entries.createIndex('tank-seq', ['tank', 'seq']);
    if (version > 1) db.createObjectStore('places');
    for (const entry of [note(1), note(2)])
      entries.add({ id: entry.id, tank: entry.tank, line: lineOf(entry) });
  });
  older.close();
  const store = await indexedDbStore(place);
  const before = (await store.arrivals()).entries.map((entry) => [1, 2].find((n) => note(n).id === entry.id));
  const { added, known } = await store.append([note(1), note(2)]);
  await store.append([note(3)]);
  return { before, again: { added, known: known.length }, count: await store.count() };
};

globalThis.openNewer = async () => {
  const place = unused();
  (await upgraded(place, 99)).close();
  return indexedDbStore(place).then(
    () => 'opened',
    (error: Error) => error.message,
  );
};

globalThis.upgradeBeside = async () => {
  const place = unused();
  await indexedDbStore(place);
  (await upgraded(place, 99)).close();
  return 'upgraded';
};

function upgraded(
  name: string,
  version: number,
  upgrade: (db: IDBDatabase) => void = () => undefined,
): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(name, version);
    request.onupgradeneeded = () => upgrade(request.result);
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

function note(n: number): Entry {
  const random = new Uint8Array(10).fill(3);
  const tank = newTankId(0, random);
  return {
    id: newEntryId(n, random),
    tank,
    at: '2026-03-01T08:00:00Z',
    kind: 'note',
    body: { text: `note ${n}` },
  };
}
