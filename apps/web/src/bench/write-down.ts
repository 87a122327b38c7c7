import { bodyProblems, type EntryId, type Kind, type TankId } from '@brinewright/journal';
import { sayEntry } from '../entries/say.ts';
import { foresee } from '../state/course.ts';
import { entriesFor, write } from '../state/journal.ts';
import { print } from '../state/reader.ts';
import { words } from '../words/index.ts';

/** What a press of a button came to. */
export type Outcome =
  | { readonly kind: 'written'; readonly said: string; readonly ids: readonly EntryId[] }
  | { readonly kind: 'refused'; readonly why: string }
  | { readonly kind: 'undone' };

/** What a form says, before it is an entry. */
export interface Made {
  readonly kind: Kind;
  readonly body: object;
}

/**
 * Validates, keeps, and only then says so; nothing is kept where anything is refused.
 * @param onWay told the ids just before they are handed to the disk
 */
export async function writeDown(
  tank: TankId,
  when: string | null,
  made: readonly Made[],
  onWay: (ids: readonly EntryId[]) => void = () => undefined,
): Promise<Outcome> {
  const at = when === null ? Date.now() : new Date(when).getTime();
  if (Number.isNaN(at) || at > Date.now()) return { kind: 'refused', why: words.bench.future };
  const problem = made.flatMap(({ kind, body }) => bodyProblems(kind, body))[0];
  if (problem !== undefined) {
    const field = problem.path.replace(/^body\.?/, '');
    return { kind: 'refused', why: words.bench.refused(`${field} ${problem.message}.`) };
  }
  const entries = entriesFor(tank, at, made);
  onWay(entries.map(({ id }) => id));
  foresee(tank, entries);
  return outcomeOf(async () => {
    await write(entries);
    const what = words.list(entries.map((entry) => sayEntry(entry, print.value)));
    const { clock } = print.value.dates;
    const said =
      when === null ? words.bench.written(what, clock(at)) : words.bench.writtenFor(what, sayMoment(at));
    return { kind: 'written', said, ids: entries.map(({ id }) => id) };
  });
}

/** "Sun 2 Mar, 18:00" */
export const sayMoment = (at: number): string =>
  `${print.value.dates.weekday(at)}, ${print.value.dates.clock(at)}`;

/** Strikes entries out again: they stay in the journal, marked. */
export function undo(tank: TankId, ids: readonly EntryId[]): Promise<Outcome> {
  const strikes = ids.map((of) => ({ kind: 'strike' as const, body: { of, why: words.bench.undoReason } }));
  return outcomeOf(async () => {
    await write(entriesFor(tank, Date.now(), strikes));
    return { kind: 'undone' };
  });
}

async function outcomeOf(work: () => Promise<Outcome>): Promise<Outcome> {
  try {
    return await work();
  } catch (error) {
    return {
      kind: 'refused',
      why: words.bench.refused(error instanceof Error ? error.message : String(error)),
    };
  }
}
