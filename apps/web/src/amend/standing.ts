import type { EntryId, Stamped, TankFacts } from '@brinewright/journal';
import type { AmendKind } from '../entries/amendable.ts';

/** An entry of the bench as it stands after its corrections. */
export interface StandingEntry {
  readonly kind: AmendKind;
  readonly body: Readonly<Record<string, unknown>>;
  /** Epoch milliseconds. */
  readonly at: number;
}

/** Undefined where there is none of that id, or it was struck out. */
export function standingEntry(facts: TankFacts, id: EntryId): StandingEntry | undefined {
  for (const [kind, list] of listsOf(facts)) {
    const found = list.find(({ entry }) => entry === id);
    if (found === undefined) continue;
    const { entry: _, at, ...body } = found;
    return { kind, body, at };
  }
  return undefined;
}

const listsOf = (facts: TankFacts): readonly (readonly [AmendKind, readonly Stamped<object>[]])[] => [
  ['reading', [...facts.readings, ...facts.setAside]],
  ['dose', facts.doses],
  ['culture', facts.cultures],
  ['food', facts.foods],
  ['exchange', facts.exchanges],
  ['topoff', facts.topoffs],
  ['arrival', facts.arrivals],
  ['loss', facts.losses],
  ['posture', facts.postures],
  ['note', facts.notes],
];

/** The fields an amendment must carry: what is otherwise than before, null where it is to go. */
export function changed(before: object, after: object): Readonly<Record<string, unknown>> {
  const [was, is] = [before, after] as readonly Readonly<Record<string, unknown>>[];
  const keys = new Set([...Object.keys(was ?? {}), ...Object.keys(is ?? {})]);
  const differing = [...keys].filter((key) => JSON.stringify(was?.[key]) !== JSON.stringify(is?.[key]));
  return Object.fromEntries(differing.map((key) => [key, is?.[key] ?? null]));
}
