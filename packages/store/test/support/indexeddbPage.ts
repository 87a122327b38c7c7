/** What the test asks of the page: run in the browser, called by name. */
import { type Entry, newEntryId, newTankId } from '@brinewright/journal';
import { conformanceCases } from '@brinewright/store/conformance';
import { indexedDbStore } from '@brinewright/store/indexeddb';

declare global {
  function runCase(name: string): Promise<string>;
  function appendNotes(place: string, from: number, to: number): Promise<number>;
  function countNotes(place: string): Promise<number>;
  function openNewer(): Promise<string>;
  function upgradeBeside(): Promise<string>;
}

const unused = (): string => `place-${crypto.randomUUID()}`;

globalThis.runCase = async (name) => {
  const found = conformanceCases.find((one) => one.name === name);
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

globalThis.openNewer = async () => {
  const place = unused();
  (await upgraded(place, 2)).close();
  return indexedDbStore(place).then(
    () => 'opened',
    (error: Error) => error.message,
  );
};

globalThis.upgradeBeside = async () => {
  const place = unused();
  await indexedDbStore(place);
  (await upgraded(place, 2)).close();
  return 'upgraded';
};

function upgraded(name: string, version: number): Promise<IDBDatabase> {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(name, version);
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
