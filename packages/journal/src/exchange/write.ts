import { lineOf } from '../entry/canonical.ts';
import type { Entry } from '../entry/kinds.ts';
import { JOURNAL_VERSION } from './parse.ts';

/** The first line of every journal file. */
export const journalHeader = `{"journal":${JOURNAL_VERSION}}`;

/**
 * A journal file: the header, then one line an entry in the order given, each ended by a line feed. Entries that were
 * read from a file keep their very bytes; new ones are written in the fixed order of `lineOf`.
 */
export function writeJournal(entries: Iterable<Entry>): string {
  const lines = [journalHeader];
  for (const entry of entries) lines.push(lineOf(entry));
  return `${lines.join('\n')}\n`;
}
