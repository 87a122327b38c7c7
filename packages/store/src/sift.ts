import {
  type Appended,
  type Entry,
  EntryClash,
  type EntryId,
  entryOfLine,
  lineOf,
  sameContent,
} from '@brinewright/journal';

/** What an entry is kept under: its tank and its id. */
export const keyOf = ({ tank, id }: Pick<Entry, 'tank' | 'id'>): string => `${tank} ${id}`;

export interface Sifted {
  /** To be kept now, by key, in the order given. */
  readonly fresh: ReadonlyMap<string, Entry>;
  readonly known: readonly EntryId[];
}

/**
 * Tells entries to be kept from those already kept.
 * @param keptLine the line kept under a key, if any
 * @throws EntryClash naming every id that has, or would get, two contents
 */
export function sift(entries: readonly Entry[], keptLine: (key: string) => string | undefined): Sifted {
  const fresh = new Map<string, Entry>();
  const known: EntryId[] = [];
  const clashes = new Set<EntryId>();
  for (const entry of entries) {
    const key = keyOf(entry);
    const line = keptLine(key);
    const before = line === undefined ? fresh.get(key) : entryOfLine(line);
    if (before === undefined) fresh.set(key, entry);
    else if (line === lineOf(entry) || sameContent(before, entry)) known.push(entry.id);
    else clashes.add(entry.id);
  }
  if (clashes.size > 0) throw new EntryClash([...clashes]);
  return { fresh, known };
}

export const idsOf = ({ fresh }: Sifted): EntryId[] => Array.from(fresh.values(), ({ id }) => id);

/** What became of one caller's entries, or why none of them is kept. */
export type Outcome = Appended | EntryClash;

/**
 * As `sift`, for several callers one after another, as if each were kept before the next is looked at. A clash refuses
 * only the caller it comes from.
 */
export function siftEach(
  callers: readonly (readonly Entry[])[],
  kept: ReadonlyMap<string, string>,
): { readonly fresh: readonly Entry[]; readonly outcomes: readonly Outcome[] } {
  const fresh = new Map<string, Entry>();
  const lineNow = (key: string): string | undefined => {
    const before = fresh.get(key);
    return before === undefined ? kept.get(key) : lineOf(before);
  };
  const outcomes = callers.map((entries): Outcome => {
    try {
      const own = sift(entries, lineNow);
      for (const [key, entry] of own.fresh) fresh.set(key, entry);
      return { added: idsOf(own), known: own.known };
    } catch (error) {
      if (error instanceof EntryClash) return error;
      throw error;
    }
  });
  return { fresh: [...fresh.values()], outcomes };
}
