import {
  type Appended,
  type ArrivalStore,
  type Cursor,
  type Entry,
  type EntryId,
  type Head,
  lineOf,
  type Page,
  type PageQuery,
  type ReadQuery,
  type TankId,
} from '@brinewright/journal';
import { pageOf, settled } from '../page.ts';
import { idsOf, keyOf, sift } from '../sift.ts';

interface MemoryRow {
  readonly place: number;
  readonly id: EntryId;
  readonly tank: TankId;
  readonly line: string;
}

/** A journal kept in memory: for tests, and for looking at a file without keeping it. Gone when let go of. */
export function memoryStore(): ArrivalStore {
  const rows: MemoryRow[] = [];
  const lines = new Map<string, string>();
  let closed = false;

  const open = (): void => {
    if (closed) throw new Error('the store is closed');
  };

  return {
    async append(entries: readonly Entry[]): Promise<Appended> {
      open();
      const sifted = sift(entries, (key) => lines.get(key));
      for (const [key, entry] of sifted.fresh) {
        const line = lineOf(entry);
        lines.set(key, line);
        rows.push({ place: rows.length + 1, id: entry.id, tank: entry.tank, line });
      }
      return { added: idsOf(sifted), known: sifted.known };
    },
    async read(query: ReadQuery): Promise<Page> {
      open();
      const { since, limit } = settled(query);
      const later = rows.slice(since).filter(({ tank }) => tank === query.tank);
      return pageOf(later.slice(0, limit + 1), limit, since);
    },
    async arrivals(query: PageQuery = {}): Promise<Page> {
      open();
      const { since, limit } = settled(query);
      return pageOf(rows.slice(since, since + limit + 1), limit, since);
    },
    async tanks(): Promise<readonly TankId[]> {
      open();
      return [...new Set(rows.map(({ tank }) => tank))].sort();
    },
    async heads(): Promise<ReadonlyMap<TankId, Head>> {
      open();
      return new Map(rows.map(({ tank, place, id }) => [tank, { cursor: place as Cursor, last: id }]));
    },
    async lacking(tank: TankId, ids: readonly EntryId[]): Promise<readonly EntryId[]> {
      open();
      return ids.filter((id) => !lines.has(keyOf({ tank, id })));
    },
    async count(): Promise<number> {
      open();
      return rows.length;
    },
    async close(): Promise<void> {
      closed = true;
    },
  };
}
