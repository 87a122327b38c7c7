import { type Entry, type JournalStore, newEntryId, newTankId, readAll } from '@brinewright/journal';

const tank = newTankId(0, new Uint8Array(10));

/** The nth batch: one to eleven entries that say which batch they belong to. */
export function batch(number: number): Entry[] {
  return Array.from({ length: 1 + ((number * 7) % 11) }, (_, place) => ({
    id: newEntryId(number * 100 + place, new Uint8Array(10).fill(5)),
    tank,
    at: '2026-03-01T08:00:00Z',
    kind: 'note' as const,
    body: { text: `${number} ${'x'.repeat((number * 131) % 3000)}` },
  }));
}

/** How many entries of each batch a journal holds, by its number. */
export async function batchesIn(store: JournalStore): Promise<[number, number][]> {
  const found = new Map<number, number>();
  for await (const { body } of readAll(store)) {
    const number = Number(('text' in body ? String(body.text) : '').split(' ')[0]);
    found.set(number, (found.get(number) ?? 0) + 1);
  }
  return [...found];
}
