import {
  bodyProblems,
  type EntryId,
  type ReadingBody,
  type TankFacts,
  type TankId,
} from '@brinewright/journal';
import type { ComponentChildren } from 'preact';
import { useMemo, useState } from 'preact/hooks';
import { DeedFields } from '../bench/deed-form.tsx';
import { DEEDS } from '../bench/deeds.ts';
import { Fault } from '../bench/fault.ts';
import { KitRow } from '../bench/kit-row.tsx';
import { readingOf } from '../bench/reading.ts';
import { Said } from '../bench/said.tsx';
import { type Outcome, undo, writeDown } from '../bench/write-down.ts';
import { sayEntry } from '../entries/say.ts';
import { instantHere, localField } from '../format/dates.ts';
import { LostTank } from '../pages/lost.tsx';
import { NotYours } from '../pages/not-yours.tsx';
import { Field, TimeInput } from '../parts/field.tsx';
import { Title } from '../parts/title.tsx';
import { entriesOf, factsFor } from '../state/journal.ts';
import { paths } from '../state/paths.ts';
import { print } from '../state/reader.ts';
import { mayWrite } from '../state/sharing.ts';
import { words } from '../words/index.ts';
import { changed, type StandingEntry, standingEntry } from './standing.ts';
import { bodyBefore, bodyFrom, type DeedAmendKind, rowOf, valuesOf } from './values.ts';

/** An entry opened again in the form it was written with. */
export function Amend({ id, entry }: { id: string; entry: string }) {
  const facts = factsFor(id as TankId);
  if (facts === undefined) return <LostTank id={id} />;
  if (!mayWrite(facts.tank)) return <NotYours facts={facts} />;
  return <AmendIn key={entry} facts={facts} id={entry as EntryId} />;
}

/** As the form stood when it was opened: what is saved meanwhile must not move what it is compared with. */
function AmendIn({ facts, id }: { facts: TankFacts; id: EntryId }) {
  const standing = useMemo(() => standingEntry(facts, id), [id]);
  const written = entriesOf(facts.tank).find((one) => one.id === id);
  if (standing === undefined || written === undefined) return <p role="alert">{words.entry.amendLost}</p>;
  const { dates } = print.value;
  const now = { ...written, body: standing.body };
  return (
    <>
      <div class="lede">
        <Title name={words.entry.amendIt}>{words.entry.amendTitle(sayEntry(now, print.value))}</Title>
        <p>{words.entry.amendLede(dates.full(standing.at))}</p>
      </div>
      {standing.kind === 'reading' ? (
        <ReadingAmend facts={facts} id={id} standing={standing} />
      ) : (
        <DeedAmend facts={facts} id={id} standing={standing} kind={standing.kind} />
      )}
    </>
  );
}

interface FormProps {
  readonly facts: TankFacts;
  readonly id: EntryId;
  readonly standing: StandingEntry;
}

function ReadingAmend({ facts, id, standing }: FormProps) {
  const body = standing.body as unknown as ReadingBody;
  const row = useMemo(() => rowOf(body, facts.kits.get(body.kit ?? ''), print.value), [body]);
  const [pick, setPick] = useState(row?.pick);
  if (row === undefined || pick === undefined) return <CannotAmend tank={facts.tank} />;
  const make = () => {
    const after = readingOf(row.kit, pick, print.value);
    if (after === undefined) throw new Fault(words.bench.nothing);
    return changed(readingOf(row.kit, row.pick, print.value) ?? {}, after);
  };
  return (
    <AmendForm facts={facts} id={id} standing={standing} make={make}>
      <KitRow
        kit={row.kit}
        pick={pick}
        onPick={setPick}
        prediction={undefined}
        others={[]}
        print={print.value}
      />
    </AmendForm>
  );
}

function DeedAmend({ facts, id, standing, kind }: FormProps & { readonly kind: DeedAmendKind }) {
  const form = DEEDS.find((deed) => deed.kind === kind);
  const before = useMemo(() => valuesOf(kind, standing.body, print.value), [standing]);
  const [values, setValues] = useState(before);
  if (form === undefined || before === undefined || values === undefined)
    return <CannotAmend tank={facts.tank} />;
  const make = () => changed(bodyBefore(kind, before, print.value), bodyFrom(kind, values, print.value));
  return (
    <AmendForm facts={facts} id={id} standing={standing} make={make}>
      <DeedFields form={form} values={values} onValues={setValues} print={print.value} />
    </AmendForm>
  );
}

function CannotAmend({ tank }: { tank: TankId }) {
  return (
    <>
      <p>{words.entry.amendNot}</p>
      <p class="acts">
        <a class="act" href={paths.tank(tank)}>
          {words.bench.seeTank(factsFor(tank)?.name ?? words.rounds.unnamed)}
        </a>
      </p>
    </>
  );
}

interface AmendFormProps extends FormProps {
  /** The fields that are otherwise. @throws Fault where something is missing or is not a number */
  readonly make: () => Readonly<Record<string, unknown>>;
  readonly children: ComponentChildren;
}

/** When it happened, the form's own fields, and what came of saving them. */
function AmendForm({ facts, id, standing, make, children }: AmendFormProps) {
  const { tank, name = words.rounds.unnamed } = facts;
  const [when, setWhen] = useState(localField(standing.at));
  const [outcome, setOutcome] = useState<Outcome | undefined>();
  const save = async () => setOutcome(await amended(tank, id, standing, when, make));
  return (
    <form
      class="tests narrow amend"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void save();
      }}
    >
      <Field label={words.bench.whenField}>
        <TimeInput value={when} onValue={setWhen} max={localField(Date.now())} />
      </Field>
      {children}
      <div class="write">
        <Said
          outcome={outcome}
          tank={tank}
          name={name}
          onUndo={(ids) => void undo(tank, ids).then(setOutcome)}
        />
        <button class="act chief" type="submit" disabled={outcome?.kind === 'written'}>
          {words.entry.amendSave}
        </button>
      </div>
    </form>
  );
}

/** Writes the amendment; nothing is written where nothing is otherwise, or the entry would no longer be sound. */
async function amended(
  tank: TankId,
  of: EntryId,
  { kind, body, at }: StandingEntry,
  when: string,
  make: () => Readonly<Record<string, unknown>>,
): Promise<Outcome> {
  try {
    const fields = make();
    const moved = when !== localField(at);
    if (Object.keys(fields).length === 0 && !moved) throw new Fault(words.entry.amendNothing);
    const instant = new Date(when).getTime();
    if (moved && !(instant <= Date.now())) throw new Fault(words.bench.future);
    const problem = bodyProblems(kind, overlaid(body, fields))[0];
    if (problem !== undefined) throw new Fault(words.bench.refused(`${problem.path} ${problem.message}.`));
    const amendment = { of, body: fields, ...(moved && { at: instantHere(instant) }) };
    return await writeDown(tank, null, [{ kind: 'amend', body: amendment }]);
  } catch (error) {
    if (error instanceof Fault) return { kind: 'refused', why: error.message };
    throw error;
  }
}

const overlaid = (body: object, fields: Readonly<Record<string, unknown>>) =>
  Object.fromEntries(Object.entries({ ...body, ...fields }).filter(([, value]) => value !== null));
