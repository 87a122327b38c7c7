import type { Entry, EntryId } from '@brinewright/journal';
import { byHappening, dated, isKnown } from '@brinewright/journal';

/** An entry with what later entries said about it. */
export interface DiaryLine {
  readonly entry: Entry;
  readonly at: number;
  readonly struck: boolean;
  readonly why: string | undefined;
  readonly amended: boolean;
}

/** Newest first. A strike that was itself struck out no longer counts. */
export function diaryLines(entries: readonly Entry[]): readonly DiaryLine[] {
  const corrections = new Map<EntryId, Entry[]>();
  for (const entry of entries) {
    if (!isKnown(entry) || (entry.kind !== 'strike' && entry.kind !== 'amend')) continue;
    const list = corrections.get(entry.body.of) ?? [];
    corrections.set(entry.body.of, [...list, entry]);
  }
  const holding = (id: EntryId, depth = 0): readonly Entry[] =>
    depth > 50
      ? []
      : (corrections.get(id) ?? []).filter((c) => !holding(c.id, depth + 1).some((d) => d.kind === 'strike'));
  return entries
    .map((entry) => dated(entry))
    .sort((a, b) => byHappening(b, a))
    .map(({ entry, at }) => {
      const holds = holding(entry.id);
      const strike = holds.find((c) => isKnown(c) && c.kind === 'strike');
      const why =
        strike !== undefined && isKnown(strike) && strike.kind === 'strike' ? strike.body.why : undefined;
      return { entry, at, struck: strike !== undefined, why, amended: holds.some((c) => c.kind === 'amend') };
    });
}

/** Whether someone else than the reader wrote here: only then is it worth saying who did. */
export const isWrittenBySeveral = (entries: readonly Entry[], reader: string | undefined): boolean =>
  entries.some(({ by }) => by !== undefined && by !== reader);
