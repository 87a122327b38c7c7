import * as z from 'zod/mini';
import { isTooDeep, keepLine, MAX_DEPTH } from './canonical.ts';
import { bodySchemas, type Entry, entrySchemas, envelope, type Kind } from './kinds.ts';
import { type Problem, problemsOf } from './problem.ts';

export type Checked =
  | { readonly ok: true; readonly entry: Entry }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/**
 * Judges data that should be one entry. What is returned is the data itself, with every field it came with; only
 * ids are put in lower case, as RFC 9562 writes them, because they are compared as text.
 * `line` and `text` are where it stood in a file, for the problems.
 */
export function checkEntry(data: unknown, line = 0, text?: string): Checked {
  if (isTooDeep(data)) {
    const message = `is nested deeper than ${MAX_DEPTH} levels`;
    return {
      ok: false,
      problems: [
        {
          line,
          code: 'too-deep',
          path: '',
          message,
          remedy: 'Flatten it.',
          ...(text === undefined ? {} : { text }),
        },
      ],
    };
  }
  const kind = knownKind(data);
  const schema = kind === undefined ? envelope : entrySchemas[kind];
  const problems = problemsOf(issuesOf(schema, data), line, '', text);
  if (problems.length > 0) return { ok: false, problems };
  const entry = lowerIds(data as Entry);
  if (kind !== undefined) sound.set(entry.body, kind);
  return { ok: true, entry };
}

/** The kind that data names, where it is one of ours. */
function knownKind(data: unknown): Kind | undefined {
  if (typeof data !== 'object' || data === null || !('kind' in data)) return undefined;
  const { kind } = data;
  return typeof kind === 'string' && Object.hasOwn(bodySchemas, kind) ? (kind as Kind) : undefined;
}

/** The faults of a body of a known kind, none where it is sound. */
export function bodyProblems(kind: Kind, body: unknown): readonly Problem[] {
  return problemsOf(issuesOf(bodySchemas[kind], body), 0, 'body');
}

/** Bodies found sound, each beside the kind it was judged as. Entries never change, so once is enough. */
const sound = new WeakMap<object, string>();

/** Whether a body of a known kind is without fault. A body found so is not judged again. */
export function isSound(kind: Kind, body: object): boolean {
  if (sound.get(body) === kind) return true;
  if (!z.validate(bodySchemas[kind], body)) return false;
  sound.set(body, kind);
  return true;
}

/** None where it is sound: that is told without anything made of what was read. */
function issuesOf(schema: z.ZodMiniType, data: unknown): readonly z.core.$ZodIssue[] {
  if (z.validate(schema, data)) return [];
  return schema.safeParse(data, { reportInput: true }).error?.issues ?? [];
}

const UPPER = /[A-F]/;

function lowerIds(entry: Entry): Entry {
  const of = entry.kind === 'amend' || entry.kind === 'strike' ? (entry.body as { of: string }).of : '';
  if (!UPPER.test(entry.id) && !UPPER.test(entry.tank) && !UPPER.test(of)) return entry;
  const lowered = { ...entry, id: entry.id.toLowerCase(), tank: entry.tank.toLowerCase() } as Entry;
  return of === '' ? lowered : ({ ...lowered, body: { ...lowered.body, of: of.toLowerCase() } } as Entry);
}

/**
 * The entry a line stands for, without judging it: for lines that were judged before they were kept, by this program
 * or a later one.
 */
export function entryOfLine(line: string): Entry {
  const entry = lowerIds(JSON.parse(line));
  keepLine(entry, line);
  return entry;
}
