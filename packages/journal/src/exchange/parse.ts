import { keepLine } from '../entry/canonical.ts';
import type { Entry, EntryId } from '../entry/kinds.ts';
import { type Problem, sayProblem } from '../entry/problem.ts';
import { checkEntry } from '../entry/validate.ts';
import { digest } from './digest.ts';

/** The version of the journal file this program reads and writes. */
export const JOURNAL_VERSION = 1;

export interface ParsedJournal {
  readonly entries: readonly Entry[];
  readonly problems: readonly Problem[];
}

/** Thrown under `strict`, with everything that is wrong. */
export class JournalError extends Error {
  readonly problems: readonly Problem[];

  constructor(problems: readonly Problem[]) {
    super(problems.map(sayProblem).join('\n'));
    this.name = 'JournalError';
    this.problems = problems;
  }
}

/** What one line gave: an entry, what is wrong with it, or nothing (a header, a blank line, a repeated entry). */
export interface LineRead {
  readonly entry?: Entry;
  readonly problems: readonly Problem[];
}

export interface JournalReader {
  /** Reads the next line, without its line feed. `last` tells a line the file ended in without a line feed. */
  line(text: string, last?: boolean): LineRead;
  /** To be called once after the last line: what is wrong with the file as a whole. */
  end(): readonly Problem[];
  /** True once a newer version was found: further lines are not read, and the file is not to be used. */
  readonly refused: boolean;
}

/**
 * Reads a journal line by line. It holds no line, only some 100 bytes for each id it has seen, so that a repeated
 * entry is known again: the same content is passed over, different content is a clash that names both lines.
 */
export function journalReader(): JournalReader {
  const seen = new Map<EntryId, { line: number; content: number }>();
  let number = 0;
  let started = false;
  let refused = false;

  const read = (text: string, last: boolean): LineRead => {
    number += 1;
    const line = tidy(text, number === 1);
    if (refused || line.trim() === '') return NOTHING;
    const data = readJson(line, number, last);
    if ('problem' in data) return { problems: [...headerMissing(), data.problem] };
    const version = versionOf(data.json);
    if (version !== undefined) return header(version, line);
    const missing = headerMissing();
    const checked = checkEntry(data.json, number, line);
    if (!checked.ok) return { problems: [...missing, ...checked.problems] };
    const clash = clashOf(checked.entry, line);
    if (clash === 'known') return { problems: missing };
    if (clash !== undefined) return { problems: [...missing, clash] };
    keepLine(checked.entry, line);
    return { entry: checked.entry, problems: missing };
  };

  const header = (version: unknown, text: string): LineRead => {
    started = true;
    if (version === JOURNAL_VERSION) return NOTHING;
    refused = typeof version === 'number' && version > JOURNAL_VERSION;
    return {
      problems: [refused ? newer(version as number, number, text) : badHeader(version, number, text)],
    };
  };

  const headerMissing = (): Problem[] => {
    if (started) return [];
    started = true;
    return [noHeader(number)];
  };

  const clashOf = (entry: Entry, text: string): Problem | 'known' | undefined => {
    const content = digest(entry);
    const before = seen.get(entry.id);
    if (before === undefined) {
      seen.set(entry.id, { line: number, content });
      return undefined;
    }
    return before.content === content ? 'known' : clashProblem(entry.id, before.line, number, text);
  };

  return {
    line: (text, last = false) => read(text, last),
    end: () => (started ? [] : [EMPTY]),
    get refused() {
      return refused;
    },
  };
}

/**
 * Reads a whole journal file. A bad line is reported with its number and reason and the rest is still read.
 * @throws JournalError under `strict` where anything at all is wrong.
 */
export function parseJournal(text: string, options: { readonly strict?: boolean } = {}): ParsedJournal {
  const reader = journalReader();
  const entries: Entry[] = [];
  const problems: Problem[] = [];
  for (let start = 0; start < text.length; ) {
    const feed = text.indexOf('\n', start);
    const end = feed < 0 ? text.length : feed;
    const read = reader.line(text.slice(start, end), feed < 0);
    if (read.entry !== undefined) entries.push(read.entry);
    problems.push(...read.problems);
    start = end + 1;
  }
  problems.push(...reader.end());
  if (options.strict === true && problems.length > 0) throw new JournalError(problems);
  return { entries: reader.refused ? [] : entries, problems };
}

const NOTHING: LineRead = { problems: [] };

/** Without the byte-order mark a first line may begin with, and the carriage return a line may end with. */
function tidy(text: string, first: boolean): string {
  const start = first && text.charCodeAt(0) === 0xfeff ? 1 : 0;
  const end = text.endsWith('\r') ? text.length - 1 : text.length;
  return start === 0 && end === text.length ? text : text.slice(start, end);
}

function readJson(line: string, number: number, last: boolean): { json: unknown } | { problem: Problem } {
  try {
    return { json: JSON.parse(line) };
  } catch {
    return { problem: last ? cutOff(number, line) : notJson(number, line) };
  }
}

/** The version a header line names; undefined where the line is none. An entry has an id, a header has not. */
function versionOf(json: unknown): unknown {
  if (typeof json !== 'object' || json === null || Object.hasOwn(json, 'id')) return undefined;
  return (json as Record<string, unknown>).journal;
}

const HEADER = `{"journal":${JOURNAL_VERSION}}`;

const EMPTY: Problem = {
  line: 1,
  code: 'empty',
  path: '',
  message: 'the file holds nothing',
  remedy: `A journal begins with the line ${HEADER}.`,
};

const noHeader = (line: number): Problem => ({
  line,
  code: 'no-header',
  path: '',
  message: 'the file does not begin as a journal does',
  remedy: `Put ${HEADER} on a line of its own at the top; the lines are read as version ${JOURNAL_VERSION} meanwhile.`,
});

const newer = (version: number, line: number, text: string): Problem => ({
  line,
  code: 'newer-version',
  path: 'journal',
  message: `this journal is version ${version} and this program reads version ${JOURNAL_VERSION}`,
  remedy: 'Open it with a newer version of the program; nothing was read.',
  text,
});

const badHeader = (version: unknown, line: number, text: string): Problem => ({
  line,
  code: 'no-header',
  path: 'journal',
  message: `${JSON.stringify(version)} is not a version of the journal`,
  remedy: `Write ${HEADER}; the lines are read as version ${JOURNAL_VERSION} meanwhile.`,
  text,
});

const notJson = (line: number, text: string): Problem => ({
  line,
  code: 'not-json',
  path: '',
  message: 'the line is not JSON',
  remedy: 'Each line holds one complete JSON object; mend it or take it out.',
  text,
});

const cutOff = (line: number, text: string): Problem => ({
  line,
  code: 'cut-off',
  path: '',
  message: 'the file ends in the middle of this line',
  remedy: 'Copy the file again in full, or complete the line by hand.',
  text,
});

const clashProblem = (id: EntryId, before: number, line: number, text: string): Problem => ({
  line,
  code: 'clash',
  path: 'id',
  message: `lines ${before} and ${line} carry the same id ${id} but differ`,
  remedy: `Line ${before} was kept. Entries never change: write a correction as an amend entry with an id of its own.`,
  text,
});
