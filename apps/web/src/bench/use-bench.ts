import type { EntryId, TankFacts } from '@brinewright/journal';
import { useMemo, useState } from 'preact/hooks';
import { entriesOf } from '../state/journal.ts';
import { print } from '../state/reader.ts';
import { words } from '../words/index.ts';
import { Answers, type DeedForm, type DeedKind } from './deeds.ts';
import { arrivedAt, type BenchDraft, cleared, draftOf, NO_PICK, type Pick, recovered } from './draft.ts';
import { Fault } from './fault.ts';
import { keyOf } from './kits-on.ts';
import { type BenchKit, readingOf } from './reading.ts';
import { type Made, type Outcome, undo, writeDown } from './write-down.ts';

/** Which button was pressed. */
export type Place = 'tests' | DeedKind;

/** The draft on one tank's bench and what can be done with it. */
export function useBench({ tank }: TankFacts) {
  const draft = draftOf(tank);
  const [last, setLast] = useState<{ readonly place: Place; readonly outcome: Outcome } | undefined>();
  const [busy, setBusy] = useState(false);
  const change = (part: Partial<BenchDraft>) => {
    draft.value = { ...draft.value, ...part };
  };
  const pickOf = (kit: BenchKit): Pick => ({ ...NO_PICK, ...draft.value.picks[keyOf(kit)] });

  useMemo(() => {
    const kept = new Set(entriesOf(tank).map(({ id }) => id));
    draft.value = arrivedAt(recovered(draft.value, (id) => kept.has(id)));
  }, [tank]);

  const keep = async (place: Place, make: () => readonly Made[]) => {
    setBusy(true);
    const onWay = (ids: readonly EntryId[]) => change({ writing: { place, ids } });
    const outcome = await attempted(() => writeDown(tank, draft.value.when, make(), onWay));
    if (outcome.kind === 'written') draft.value = cleared(draft.value, place);
    else change({ writing: null });
    setLast({ place, outcome });
    setBusy(false);
  };

  return {
    draft: draft.value,
    busy,
    pickOf,
    outcomeAt: (place: Place) => (last?.place === place ? last.outcome : undefined),
    setWhen: (when: string | null) => change({ when }),
    choose: (kit: BenchKit, pick: Pick) => change({ picks: { ...draft.value.picks, [keyOf(kit)]: pick } }),
    fill: (kind: DeedKind, values: Readonly<Record<string, string>>) =>
      change({ deeds: { ...draft.value.deeds, [kind]: values } }),
    writeTests: (kits: readonly BenchKit[]) => keep('tests', () => readingsMade(kits, pickOf)),
    writeDeed: (form: DeedForm & { readonly kind: DeedKind }) =>
      keep(form.kind, () => [
        {
          kind: form.kind,
          body: form.body(new Answers(form.fields, draft.value.deeds[form.kind] ?? {}), print.value),
        },
      ]),
    undo: async (place: Place, ids: readonly EntryId[]) => setLast({ place, outcome: await undo(tank, ids) }),
  };
}

/** @throws Fault where nothing is filled in, or something is not a number */
function readingsMade(kits: readonly BenchKit[], pickOf: (kit: BenchKit) => Pick): readonly Made[] {
  const bodies = kits
    .map((kit) => readingOf(kit, pickOf(kit), print.value))
    .filter((body) => body !== undefined);
  if (bodies.length === 0) throw new Fault(words.bench.nothing);
  return bodies.map((body) => ({ kind: 'reading', body }));
}

/** A fault in what was typed is an outcome to be said; anything else is not swallowed. */
async function attempted(work: () => Promise<Outcome>): Promise<Outcome> {
  try {
    return await work();
  } catch (error) {
    if (error instanceof Fault) return { kind: 'refused', why: error.message };
    throw error;
  }
}
