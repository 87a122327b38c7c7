/**
 * What every backend promises, written once as data, so that the same cases run in a test runner and in a page.
 * A case throws where a promise is broken.
 */
import {
  type ArrivalStore,
  type Entry,
  EntryClash,
  type EntryId,
  entryOfLine,
  type JournalStore,
  lineOf,
  newEntryId,
  newTankId,
  readAll,
  START,
} from '@brinewright/journal';
import { rejects, same } from './assert.ts';

/** Somewhere a journal is kept: empty at first; opened again, the same journal. */
export interface Place<Store = JournalStore> {
  open(): Promise<Store>;
}

export interface Case<Store = JournalStore> {
  readonly name: string;
  /** True where the case opens its place more than once: memory cannot. */
  readonly reopens: boolean;
  run(place: Place<Store>): Promise<void>;
}

const EPOCH = Date.UTC(2026, 2, 1, 8);
const TANK = newTankId(EPOCH, new Uint8Array(10).fill(1));
const OTHER = newTankId(EPOCH + 1, new Uint8Array(10).fill(2));

const idOf = (n: number): EntryId => newEntryId(EPOCH + n, new Uint8Array(10).fill(9));

function note(n: number, text = `note ${n}`, tank = TANK): Entry {
  return { id: idOf(n), tank, at: new Date(EPOCH + n * 60_000).toISOString(), kind: 'note', body: { text } };
}

const notes = (from: number, to: number): Entry[] =>
  Array.from({ length: to - from }, (_, i) => note(from + i));
const ids = (entries: readonly Entry[]): EntryId[] => entries.map(({ id }) => id);

async function everything(store: JournalStore): Promise<Entry[]> {
  const entries: Entry[] = [];
  for await (const entry of readAll(store)) entries.push(entry);
  return entries;
}

const holds = <Store extends JournalStore = JournalStore>(
  name: string,
  check: (store: Store) => Promise<void>,
): Case<Store> => ({
  name,
  reopens: false,
  run: async (place) => {
    const store = await place.open();
    await check(store);
    await store.close();
  },
});

const holdsAcross = (name: string, run: (place: Place) => Promise<void>): Case => ({
  name,
  reopens: true,
  run,
});

export const conformanceCases: readonly Case[] = [
  holds('is empty at first', async (store) => {
    same(await store.count(), 0);
    same(await store.tanks(), []);
    same(await store.read({ tank: TANK }), { entries: [], cursor: START, more: false });
  }),

  holds('gives back what was appended, in order of arrival', async (store) => {
    const entries = [note(3), note(1), note(2)];
    same(await store.append(entries), { added: ids(entries), known: [] });
    same(await everything(store), entries);
    same(await store.count(), 3);
  }),

  holds('appends nothing without complaint', async (store) => {
    same(await store.append([]), { added: [], known: [] });
  }),

  holds('leaves alone what it has, and says which', async (store) => {
    await store.append([note(1), note(2)]);
    same(await store.append([note(2), note(3)]), { added: [idOf(3)], known: [idOf(2)] });
    same(await store.append([note(4), note(4)]), { added: [idOf(4)], known: [idOf(4)] });
    same(await store.count(), 4);
  }),

  holds('takes fields in another order for the same content', async (store) => {
    await store.append([note(1)]);
    const turned = Object.fromEntries(Object.entries(note(1)).reverse()) as unknown as Entry;
    same(await store.append([turned]), { added: [], known: [idOf(1)] });
  }),

  holds('refuses a batch with a clash as a whole, naming every id', async (store) => {
    await store.append([note(1), note(2)]);
    const batch = [note(3), note(1, 'other'), note(2), note(2, 'other')];
    const error = await rejects(() => store.append(batch));
    same(error instanceof EntryClash && error.ids, [idOf(1), idOf(2)]);
    same(await everything(store), [note(1), note(2)]);
  }),

  holds('refuses a batch that clashes with itself', async (store) => {
    const error = await rejects(() => store.append([note(1), note(2), note(1, 'other')]));
    same(error instanceof EntryClash && error.ids, [idOf(1)]);
    same(await store.count(), 0);
  }),

  holds('reads on from a cursor, page by page', async (store) => {
    await store.append(notes(0, 5));
    const first = await store.read({ tank: TANK, limit: 2 });
    same([ids([...first.entries]), first.more], [[idOf(0), idOf(1)], true]);
    const second = await store.read({ tank: TANK, since: first.cursor, limit: 3 });
    same([ids([...second.entries]), second.more], [[idOf(2), idOf(3), idOf(4)], false]);
    const rest = { tank: TANK, since: second.cursor };
    same(await store.read(rest), { entries: [], cursor: second.cursor, more: false });
    await store.append([note(0), note(6, 'elsewhere', OTHER), note(7)]);
    same((await store.read(rest)).entries, [note(7)]);
  }),

  holds('reads one tank only', async (store) => {
    const elsewhere = [note(1, 'a', OTHER), note(3, 'b', OTHER), note(5, 'c', OTHER)];
    await store.append([note(0), ...elsewhere.slice(0, 2), note(4), ...elsewhere.slice(2)]);
    const first = await store.read({ tank: OTHER, limit: 2 });
    same([first.entries, first.more], [elsewhere.slice(0, 2), true]);
    same((await store.read({ tank: OTHER, since: first.cursor })).entries, elsewhere.slice(2));
    same((await store.read({ tank: newTankId(7, new Uint8Array(10)) })).entries, []);
  }),

  holds('lists tanks in order of id', async (store) => {
    await store.append([note(1, 'a', OTHER), note(2), note(3, 'b', OTHER)]);
    same(await store.tanks(), [TANK, OTHER].sort());
  }),

  holds('tells the newest entry of every tank, and where it stands', async (store) => {
    same([...(await store.heads())], []);
    await store.append([note(5), note(1, 'a', OTHER), note(2), note(3, 'b', OTHER), note(4)]);
    const heads = await store.heads();
    same([heads.size, heads.get(TANK)?.last, heads.get(OTHER)?.last], [2, idOf(4), idOf(3)]);
    for (const [tank, { cursor }] of heads) same((await store.read({ tank, since: cursor })).entries, []);
    await store.append([note(6), note(7)]);
    same((await store.read({ tank: TANK, since: heads.get(TANK)?.cursor ?? START })).entries, [
      note(6),
      note(7),
    ]);
    same((await store.heads()).get(OTHER), heads.get(OTHER));
  }),

  holds('tells which of some ids a tank lacks', async (store) => {
    await store.append([note(1), note(3), note(2, 'elsewhere', OTHER)]);
    same(await store.lacking(TANK, [idOf(4), idOf(3), idOf(2), idOf(1)]), [idOf(4), idOf(2)]);
    same(await store.lacking(TANK, []), []);
  }),

  holds('looks for an id within its tank', async (store) => {
    const two = [note(1, 'here'), note(1, 'there', OTHER)];
    same(await store.append(two), { added: [idOf(1), idOf(1)], known: [] });
    same(await store.append(two), { added: [], known: [idOf(1), idOf(1)] });
    same(await everything(store), two);
    const error = await rejects(() => store.append([note(1, 'there'), note(2, 'there', OTHER)]));
    same(error instanceof EntryClash && error.ids, [idOf(1)]);
    same(await store.count(), 2);
  }),

  holds('refuses a page of no size', async (store) => {
    await rejects(() => store.read({ tank: TANK, limit: 0 }));
    await rejects(() => store.read({ tank: TANK, limit: 1.5 }));
  }),

  holds('keeps the very bytes of a line, whatever is in it', async (store) => {
    const strange = `{ "kind":"barometer", "body":{"hPa":1013.250000000000000001,"t":"\\u0000 \\ud83d\\udc20 🐠 ' \\" % ?"} , "x":[1],`;
    const line = `${strange}"id":"${idOf(1).toUpperCase()}","tank":"${TANK}","at":"2026-03-01T08:00:00+01:00"}`;
    const entry = entryOfLine(line);
    await store.append([entry]);
    const [back] = await everything(store);
    same([back, back && lineOf(back)], [entry, line]);
    same(await store.append([entry]), { added: [], known: [idOf(1)] });
  }),

  holds('takes five thousand entries at once', async (store) => {
    const entries = notes(0, 5000);
    await store.append(entries);
    same(ids(await everything(store)), ids(entries));
  }),

  holds('takes the same entries from many callers at once, each only once', async (store) => {
    const batches = Array.from({ length: 20 }, (_, i) => notes(i * 5, i * 5 + 10));
    const appended = await Promise.all(batches.map((batch) => store.append(batch)));
    same(
      appended.reduce((sum, { added }) => sum + added.length, 0),
      105,
    );
    same(ids(await everything(store)).sort(), ids(notes(0, 105)));
  }),

  holds('refuses of many callers at once only the one that clashes', async (store) => {
    await store.append([note(1)]);
    const [one, two, three] = await Promise.allSettled([
      store.append([note(2)]),
      store.append([note(3), note(1, 'other')]),
      store.append([note(2), note(4)]),
    ]);
    same([one.status, two.status, three.status], ['fulfilled', 'rejected', 'fulfilled']);
    same(two.status === 'rejected' && two.reason instanceof EntryClash && two.reason.ids, [idOf(1)]);
    same(three.status === 'fulfilled' && three.value, { added: [idOf(4)], known: [idOf(2)] });
    same(await store.lacking(TANK, [idOf(3), idOf(4)]), [idOf(3)]);
  }),

  holds('takes entries of many tanks from many callers at once', async (store) => {
    const tanks = Array.from({ length: 7 }, (_, i) => newTankId(EPOCH + i, new Uint8Array(10).fill(i)));
    const at = (n: number): Entry => note(n, `note ${n}`, tanks[n % 7]);
    const batches = Array.from({ length: 20 }, (_, i) => Array.from({ length: 10 }, (_, k) => at(i * 5 + k)));
    const appended = await Promise.all(batches.map((batch) => store.append(batch)));
    same(
      appended.reduce((sum, { added }) => sum + added.length, 0),
      105,
    );
    for (const [i, tank] of tanks.entries()) {
      const { entries } = await store.read({ tank });
      same(ids([...entries]).sort(), ids(Array.from({ length: 15 }, (_, k) => at(7 * k + i))));
    }
  }),

  holds('shows a reader every entry once while others append', async (store) => {
    const writing = Promise.all(
      Array.from({ length: 30 }, (_, i) => store.append([...notes(i * 4, i * 4 + 4), note(i, '', OTHER)])),
    );
    const seen: Entry[] = [];
    let since = START;
    for (let done = false; !done; ) {
      done = await Promise.race([writing.then(() => true), store.count().then(() => false)]);
      for (let more = true; more; ) {
        const page = await store.read({ tank: TANK, since, limit: 7 });
        seen.push(...page.entries);
        since = page.cursor;
        more = page.more;
      }
    }
    same(ids(seen).sort(), ids(notes(0, 120)));
  }),

  holds('answers nothing once closed', async (store) => {
    await store.append([note(1)]);
    await store.close();
    await rejects(() => store.append([note(2)]));
    await rejects(() => store.read({ tank: TANK }));
    await rejects(() => store.tanks());
    await rejects(() => store.heads());
    await rejects(() => store.lacking(TANK, [idOf(1)]));
    await rejects(() => store.count());
  }),

  holdsAcross('holds everything when opened again, and cursors still count', async (place) => {
    const before = await place.open();
    await before.append(notes(0, 3));
    const { cursor } = await before.read({ tank: TANK, limit: 2 });
    await before.close();
    const after = await place.open();
    same(await everything(after), notes(0, 3));
    same((await after.read({ tank: TANK, since: cursor })).entries, [note(2)]);
    same(await after.append([note(1), note(5)]), { added: [idOf(5)], known: [idOf(1)] });
    await after.close();
  }),

  holdsAcross('is one journal for two that have it open', async (place) => {
    const [one, two] = [await place.open(), await place.open()];
    const batches = Array.from({ length: 10 }, (_, i) => notes(i * 5, i * 5 + 10));
    const turns = batches.map((batch, i) => (i % 2 === 0 ? one : two).append(batch));
    const appended = await Promise.all(turns);
    same(
      appended.reduce((sum, { added }) => sum + added.length, 0),
      55,
    );
    same(await everything(one), await everything(two));
    const error = await rejects(() => two.append([note(0, 'other')]));
    same(error instanceof EntryClash, true);
    await one.close();
    await two.close();
  }),
];

/** What a store with an order of arrival over all tanks promises besides. */
export const arrivalCases: readonly Case<ArrivalStore>[] = [
  holds('tells what arrived, whatever its tank, in one order', async (store) => {
    const entries = [note(2), note(5, 'there', OTHER), note(1), note(5, 'here')];
    same(await store.arrivals(), { entries: [], cursor: START, more: false });
    await store.append(entries.slice(0, 2));
    await store.append(entries.slice(2));
    const first = await store.arrivals({ limit: 3 });
    same([first.entries, first.more], [entries.slice(0, 3), true]);
    const rest = await store.arrivals({ since: first.cursor });
    same([rest.entries, rest.more], [entries.slice(3), false]);
    same((await store.arrivals({ since: rest.cursor })).cursor, rest.cursor);
    await store.close();
    await rejects(() => store.arrivals());
  }),
];
