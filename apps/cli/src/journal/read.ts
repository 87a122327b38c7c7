import { readFile } from 'node:fs/promises';
import { type Entry, type Problem, parseJournal, sayProblem } from '@brinewright/journal';
import { type Io, Refusal } from '../io.ts';
import { tame } from '../paper/text.ts';

/** What was read of one journal file. */
export interface JournalFile {
  /** As the person named it; "standard input" for `-`. */
  readonly name: string;
  readonly entries: readonly Entry[];
}

/** How many faults of a file are told one by one before the rest is counted. */
const toldAtMost = 20;

/**
 * Reads a journal file, or standard input where it is named `-`. Every fault is told on standard error with its
 * line, its place in the line and the remedy; the rest is still read, unless `strict` refuses the whole file.
 */
export async function readJournal(io: Io, path: string, options: { strict?: boolean }): Promise<JournalFile> {
  const name = path === '-' ? 'standard input' : path;
  const bytes = path === '-' ? await io.stdin() : await readBytes(path);
  const { text, unreadable } = decode(bytes);
  const { entries, problems } = parseJournal(text);
  const faults = [...unreadable, ...problems.map(sayProblem)];
  const shown = faults.slice(0, toldAtMost).map((fault) => `${name}: ${tame(fault)}\n`);
  if (faults.length > toldAtMost) shown.push(`${name}: and ${faults.length - toldAtMost} more faults\n`);
  io.err(shown.join(''));
  if (options.strict && faults.length > 0)
    throw new Refusal(`${name} was refused: ${counted(faults.length)} and --strict was asked for.`);
  if (entries.length === 0) throw new Refusal(emptiness(name, problems));
  return { name, entries };
}

const counted = (faults: number): string => (faults === 1 ? 'it has a fault' : `it has ${faults} faults`);

function emptiness(name: string, problems: readonly Problem[]): string {
  const newer = problems.some(({ code }) => code === 'newer-version');
  return newer
    ? `${name} needs a newer version of this program.`
    : `${name} holds no entry that can be used.`;
}

async function readBytes(path: string): Promise<Uint8Array> {
  try {
    return await readFile(path);
  } catch (error) {
    throw new Refusal(`${path} cannot be read: ${reasonOf(error)}.`);
  }
}

const reasons: Readonly<Record<string, string>> = {
  ENOENT: 'there is no such file',
  EISDIR: 'it is a folder, not a journal',
  EACCES: 'you are not allowed to',
};

function reasonOf(error: unknown): string {
  const { code, message } = error as NodeJS.ErrnoException;
  return reasons[code ?? ''] ?? message;
}

/** Text of a file; where bytes are not UTF-8, their lines are named and the rest is kept. */
function decode(bytes: Uint8Array): { text: string; unreadable: string[] } {
  try {
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes), unreadable: [] };
  } catch {
    const text = new TextDecoder('utf-8').decode(bytes);
    const lines = text.split('\n').flatMap((line, index) => (line.includes('\ufffd') ? [index + 1] : []));
    return {
      text,
      unreadable: lines.map(
        (line) => `line ${line}: holds bytes that are not UTF-8. Save the file as UTF-8.`,
      ),
    };
  }
}
