import {
  type Appended,
  type Cursor,
  type Entry,
  type EntryId,
  type Head,
  type JournalStore,
  lineOf,
  type Page,
  type ReadQuery,
  type TankId,
} from '@brinewright/journal';
import { pageOf, type Row, settled } from '../page.ts';
import { sift } from '../sift.ts';

/** A journal kept in memory: for tests, and for looking at a file without keeping it. Gone when let go of. */
export function memoryStore(): JournalStore {
  const rows: (Row & { readonly id: EntryId; readonly tank: TankId })[] = [];
  const lines = new Map<EntryId, string>();
  let closed = false;

  const open = (): void => {
    if (closed) throw new Error('the store is closed');
  };

  return {
    async append(entries: readonly Entry[]): Promise<Appended> {
      open();
      const { fresh, known } = sift(entries, (id) => lines.get(id));
      for (const entry of fresh) {
        const line = lineOf(entry);
        lines.set(entry.id, line);
        rows.push({ seq: rows.length + 1, id: entry.id, tank: entry.tank, line });
      }
      return { added: fresh.map(({ id }) => id), known };
    },
    async read(query: ReadQuery = {}): Promise<Page> {
      open();
      const { since, limit } = settled(query);
      const later = rows.slice(since).filter(({ tank }) => query.tank === undefined || tank === query.tank);
      return pageOf(later.slice(0, limit + 1), limit, since);
    },
    async tanks(): Promise<readonly TankId[]> {
      open();
      return [...new Set(rows.map(({ tank }) => tank))].sort();
    },
    async heads(): Promise<ReadonlyMap<TankId, Head>> {
      open();
      return new Map(rows.map(({ tank, seq, id }) => [tank, { cursor: seq as Cursor, last: id }]));
    },
    async lacking(ids: readonly EntryId[]): Promise<readonly EntryId[]> {
      open();
      return ids.filter((id) => !lines.has(id));
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
