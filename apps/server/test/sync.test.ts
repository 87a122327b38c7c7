import { copyFileSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type JournalStore, lineOf, readAll, type SyncPlaces, synchronise } from '@brinewright/journal';
import { memoryStore } from '@brinewright/store/memory';
import Libsql from 'libsql';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { httpPeer } from './support/peer.ts';
import { type TestServer, testServer } from './support/server.ts';
import { notes, tankOf } from './support/tanks.ts';

let folder: string;
let server: TestServer;
beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'brinewright-sync-'));
  server = await testServer({ folder });
});
afterEach(async () => {
  await server.close();
  rmSync(folder, { recursive: true, force: true });
});

function newDevice() {
  const store = memoryStore();
  let places: SyncPlaces = new Map();
  return {
    store,
    sync: () =>
      synchronise(
        store,
        httpPeer(() => server),
        places,
        async (moved) => {
          places = moved;
        },
      ),
  };
}

const linesOf = async (store: JournalStore): Promise<readonly string[]> => {
  const lines: string[] = [];
  for await (const entry of readAll(store)) lines.push(lineOf(entry));
  return lines.sort();
};

describe('devices and a server', () => {
  it('come to the same entries, and then have nothing to send', async () => {
    const [bench, office] = [newDevice(), newDevice()];
    await bench.store.append([...notes(tankOf(1), 0, 600), ...notes(tankOf(2), 0, 3)]);
    await office.store.append(notes(tankOf(1), 600, 620));
    await bench.sync();
    await office.sync();
    await bench.sync();
    const all = await linesOf(server.services.store);
    expect(all).toHaveLength(623);
    expect(await linesOf(bench.store)).toEqual(all);
    expect(await linesOf(office.store)).toEqual(all);
    expect(await bench.sync()).toMatchObject({ pulled: 0, pushed: 0 });
  });

  it('a server restored from an old copy is refilled by its devices', async () => {
    const [bench, office] = [newDevice(), newDevice()];
    await bench.store.append(notes(tankOf(1), 0, 40));
    await bench.sync();
    await office.sync();
    const copy = join(folder, 'copy.sqlite');
    const db = new Libsql(join(folder, 'journal.sqlite'));
    db.exec(`vacuum into '${copy}'`);
    db.close();

    await office.store.append(notes(tankOf(1), 40, 60));
    await office.sync();
    await bench.store.append(notes(tankOf(1), 60, 70));
    await bench.sync();
    await office.sync();

    await server.close();
    const restored = join(folder, 'restored');
    mkdirSync(restored);
    copyFileSync(copy, join(restored, 'journal.sqlite'));
    server = await testServer({ folder: restored });
    expect(await server.services.store.count()).toBe(40);

    // A device that was new after the copy was taken comes first, and takes the places that others had.
    const late = newDevice();
    await late.store.append(notes(tankOf(1), 100, 130));
    await late.sync();
    for (const device of [bench, office, late, bench]) await device.sync();
    const all = await linesOf(server.services.store);
    expect(all).toHaveLength(100);
    for (const device of [bench, office, late]) expect(await linesOf(device.store)).toEqual(all);
  });
});
