import { readFileSync } from 'node:fs';
import {
  answerWire,
  type Entry,
  type EntryId,
  foldJournal,
  type JournalStore,
  type Peer,
  parseJournal,
  readAll,
  type SyncPlaces,
  storePeer,
  synchronise,
  wirePeer,
} from '@brinewright/journal';
import { memoryStore } from '@brinewright/store/memory';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { ammonia, entry, id, OTHER_TANK, TANK } from './support/build.ts';

async function everything(store: JournalStore): Promise<Entry[]> {
  const entries: Entry[] = [];
  for await (const one of readAll(store)) entries.push(one);
  return entries.sort((a, b) => (a.id < b.id ? -1 : 1));
}

/** A device with what it keeps between runs. */
class Device {
  readonly store = memoryStore();
  places: SyncPlaces = new Map();

  run(peer: Peer) {
    return synchronise(this.store, peer, this.places, async (places) => {
      this.places = places;
    });
  }
}

const fieldStation = parseJournal(
  readFileSync(new URL('./fixtures/field-station.ndjson', import.meta.url), 'utf8'),
).entries;

describe('a device and a server', () => {
  it('come to the same entries, and then have nothing more to say', async () => {
    const [server, phone, bench] = [memoryStore(), new Device(), new Device()];
    await phone.store.append(fieldStation.slice(0, 60));
    await bench.store.append(fieldStation.slice(50));
    const peer = storePeer(server);
    expect(await phone.run(peer)).toMatchObject({ pushed: 60, pulled: 0 });
    expect(await bench.run(peer)).toMatchObject({ pushed: 52, pulled: 50 });
    expect(await phone.run(peer)).toMatchObject({ pushed: 0, pulled: 52 });
    for (const store of [server, phone.store, bench.store]) {
      expect(foldJournal(await everything(store))).toEqual(foldJournal(fieldStation));
    }
    await phone.run(peer);
    await bench.run(peer);
    const idle: Peer = { ...peer, pull: fail, push: fail, lacking: fail };
    expect(await phone.run(idle)).toEqual({ pushed: 0, pulled: 0, clashes: [], refused: [] });
    expect(await bench.run(idle)).toEqual({ pushed: 0, pulled: 0, clashes: [], refused: [] });
  });

  it('send only what the other lacks', async () => {
    const [server, phone] = [memoryStore(), new Device()];
    await server.append([ammonia(1, { n: 1 }), ammonia(2, { n: 2 })]);
    await phone.store.append([ammonia(1, { n: 1 }), ammonia(2, { n: 2 }), ammonia(3, { n: 3 })]);
    const sent: EntryId[] = [];
    const peer = storePeer(server);
    const push: Peer['push'] = (tank, entries) => {
      sent.push(...entries.map((one) => one.id));
      return peer.push(tank, entries);
    };
    await phone.run({ ...peer, push });
    expect(sent).toEqual([id(3)]);
  });

  it('say which entries clash, keep their own, and go on with the rest', async () => {
    const [server, phone] = [memoryStore(), new Device()];
    await server.append([ammonia(1, { n: 1 }), ammonia(2, { n: 2 })]);
    await phone.store.append([ammonia(9, { n: 1 }), ammonia(3, { n: 3 })]);
    expect(await phone.run(storePeer(server))).toMatchObject({ pushed: 1, pulled: 1, clashes: [id(1)] });
    expect(await everything(phone.store)).toEqual([
      ammonia(9, { n: 1 }),
      ammonia(2, { n: 2 }),
      ammonia(3, { n: 3 }),
    ]);
    expect(await server.count()).toBe(3);
  });

  it('offer what was refused again, once it is allowed', async () => {
    const [server, phone] = [memoryStore(), new Device()];
    await phone.store.append([ammonia(1, { n: 1 }), ammonia(2, { n: 2, tank: OTHER_TANK })]);
    const peer = storePeer(server);
    const reader: Peer = {
      ...peer,
      push: async (tank, entries) =>
        tank === OTHER_TANK
          ? { clashes: [], refused: entries.map((one) => one.id) }
          : peer.push(tank, entries),
    };
    expect(await phone.run(reader)).toMatchObject({ pushed: 1, refused: [id(2)] });
    expect(await phone.run(reader)).toMatchObject({ pushed: 0, refused: [id(2)] });
    expect(await phone.run(peer)).toMatchObject({ pushed: 1, refused: [] });
    expect(await server.count()).toBe(2);
  });

  it('begin anew when the server was restored from an older copy, even one that has grown since', async () => {
    const [phone, bench] = [new Device(), new Device()];
    const first = memoryStore();
    await phone.store.append([ammonia(1, { n: 1 })]);
    await phone.run(storePeer(first));
    await phone.store.append([ammonia(2, { n: 2 }), ammonia(3, { n: 3 })]);
    await phone.run(storePeer(first));
    const restored = memoryStore();
    await restored.append([ammonia(1, { n: 1 })]);
    await bench.store.append(Array.from({ length: 5 }, (_, n) => ammonia(n, { n: 10 + n })));
    await bench.run(storePeer(restored));
    await phone.run(storePeer(restored));
    expect(await everything(restored)).toEqual(await everything(phone.store));
    expect(await restored.count()).toBe(8);
  });

  it('begin anew when another entry stands where the newest one stood', async () => {
    const [first, second, phone] = [memoryStore(), memoryStore(), new Device()];
    await phone.store.append([ammonia(1, { n: 1 })]);
    await phone.run(storePeer(first));
    await second.append([ammonia(2, { n: 2 })]);
    expect(await phone.run(storePeer(second))).toMatchObject({ pushed: 1, pulled: 1 });
    expect(await everything(second)).toEqual(await everything(phone.store));
  });

  it('begin anew when the device lost its entries but not its places', async () => {
    const [server, phone, wiped] = [memoryStore(), new Device(), new Device()];
    await phone.store.append([ammonia(1, { n: 1 }), ammonia(2, { n: 2 })]);
    await phone.run(storePeer(server));
    wiped.places = phone.places;
    await wiped.store.append([ammonia(3, { n: 3 })]);
    await wiped.run(storePeer(server));
    expect(await everything(wiped.store)).toEqual(await everything(server));
    expect(await server.count()).toBe(3);
  });

  it('keeps an entry out of a tank that is not its own', async () => {
    const server = memoryStore();
    const stray = ammonia(1, { n: 1, tank: OTHER_TANK });
    expect(await storePeer(server).push(TANK, [stray])).toEqual({ clashes: [], refused: [id(1)] });
    expect(await server.count()).toBe(0);
  });
});

const fail = (): never => {
  throw new Error('the line is dead');
};

/** Answers, or fails before or after taking effect, as the schedule has it; answers once the schedule is spent. */
function flaky(peer: Peer, schedule: number[]): Peer {
  const through = async <T>(call: () => Promise<T>): Promise<T> => {
    const fate = schedule.pop() ?? 0;
    if (fate === 1) return fail();
    if (fate === 2) await call();
    const answer = await call();
    return fate === 3 ? fail() : answer;
  };
  return {
    heads: () => through(() => peer.heads()),
    pull: (tank, after) => through(() => peer.pull(tank, after)),
    lacking: (tank, ids) => through(() => peer.lacking(tank, ids)),
    push: (tank, entries) => through(() => peer.push(tank, entries)),
  };
}

/** Small pages, so that runs are cut in their middle. */
function small(peer: Peer, store: JournalStore): Peer {
  return {
    ...peer,
    pull: async (tank, after) => {
      const whole = await peer.pull(tank, after);
      return whole && store.read({ tank, since: after?.cursor ?? (0 as never), limit: 2 });
    },
  };
}

const DEVICES = 3;

const turn = fc.oneof(
  {
    weight: 4,
    arbitrary: fc.record({
      do: fc.constant('write' as const),
      device: fc.nat(DEVICES - 1),
      count: fc.integer({ min: 1, max: 4 }),
    }),
  },
  {
    weight: 4,
    arbitrary: fc.record({
      do: fc.constant('sync' as const),
      device: fc.nat(DEVICES - 1),
      faults: fc.array(fc.nat(3), { maxLength: 12 }),
      /** Whether the device is cut off before it could save its places. */
      forgets: fc.boolean(),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({ do: fc.constant('restore' as const), lost: fc.integer({ min: 1, max: 6 }) }),
  },
);
type Turn = typeof turn extends fc.Arbitrary<infer T> ? T : never;

/** Devices that write on their own, and a server that is now and then restored from an older copy. */
class World {
  readonly devices = Array.from({ length: DEVICES }, () => new Device());
  server = memoryStore();
  written = 0;

  /** Over a line that carries text, as a network does. */
  get peer(): Peer {
    const peer = small(storePeer(this.server), this.server);
    return wirePeer(async (verb, body) => {
      const answer = await answerWire(peer, verb, JSON.parse(JSON.stringify(body)));
      return JSON.parse(JSON.stringify(answer));
    });
  }

  async play(one: Turn): Promise<void> {
    if (one.do === 'restore') return this.restore(one.lost);
    const device = this.devices[one.device] as Device;
    if (one.do === 'sync') return this.sync(device, one.faults, one.forgets);
    for (let i = 0; i < one.count; i++) {
      const n = this.written++;
      await device.store.append([entry('note', { text: '' }, { n, tank: n % 3 === 0 ? OTHER_TANK : TANK })]);
    }
  }

  private async sync(device: Device, faults: readonly number[], forgets: boolean): Promise<void> {
    const before = device.places;
    await device.run(flaky(this.peer, [...faults])).catch(() => undefined);
    if (forgets) device.places = before;
  }

  private async restore(lost: number): Promise<void> {
    const copy = memoryStore();
    const { entries } = await this.server.arrivals();
    await copy.append(entries.slice(0, -lost));
    this.server = copy;
  }
}

describe('many devices over a bad line', () => {
  it('all end with every entry, whatever failed on the way', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(turn, { maxLength: 40 }), async (turns) => {
        const world = new World();
        for (const one of turns) await world.play(one);
        for (const device of [...world.devices, ...world.devices]) await device.run(world.peer);
        const all = await everything(world.server);
        expect(all).toHaveLength(world.written);
        for (const device of world.devices) expect(await everything(device.store)).toEqual(all);
      }),
      { seed: 20260301, numRuns: 200 },
    );
  }, 60_000);
});
