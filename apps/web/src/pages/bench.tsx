import type { EntryId, TankFacts, TankId } from '@brinewright/journal';
import { bodyProblems, type Kind } from '@brinewright/journal';
import { useState } from 'preact/hooks';
import { DeedForm } from '../bench/deed-form.tsx';
import { Answers, DEEDS } from '../bench/deeds.ts';
import { type BenchDraft, draftOf, isFilled, NO_PICK, type Pick } from '../bench/draft.ts';
import { Fault } from '../bench/fault.ts';
import { KitRow } from '../bench/kit-row.tsx';
import { type BenchKit, readingOf } from '../bench/reading.ts';
import { useExpectations } from '../bench/use-expectations.ts';
import { When } from '../bench/when.tsx';
import { sayEntry } from '../entries/say.ts';
import { readNumber } from '../format/numbers.ts';
import { Title } from '../parts/title.tsx';
import { entriesFor, tanks, write } from '../state/journal.ts';
import { paths } from '../state/paths.ts';
import { now, print } from '../state/reader.ts';
import { words } from '../words/index.ts';
import { LostTank } from './lost.tsx';

/** Where tests and deeds are written down, with one hand, at the tank. */
export function Bench({ id }: { id: string }) {
  const facts = tanks.value.get(id as TankId);
  return facts === undefined ? <LostTank /> : <BenchOf key={facts.tank} facts={facts} />;
}

/** What the last press of a button came to. */
type Outcome =
  | { readonly kind: 'written'; readonly said: string; readonly ids: readonly EntryId[] }
  | { readonly kind: 'refused'; readonly why: string }
  | { readonly kind: 'undone' };

function BenchOf({ facts }: { facts: TankFacts }) {
  const { tank } = facts;
  const draft = draftOf(tank);
  const [outcome, setOutcome] = useState<Outcome | undefined>();
  const [busy, setBusy] = useState(false);
  const printed = print.value;
  const { tests, others } = kitsOn(facts);
  const at = draft.value.when === null ? now.value : new Date(draft.value.when).getTime();
  const change = (part: Partial<BenchDraft>) => {
    draft.value = { ...draft.value, ...part };
  };
  const pickOf = (kit: BenchKit) => ({ ...NO_PICK, ...draft.value.picks[keyOf(kit)] });
  const planned = tests.map((kit) => ({ kit, dilution: readNumber(pickOf(kit).dilution) ?? 1 }));
  const expected = useExpectations(tank, planned, Number.isNaN(at) ? now.value : at);
  const choose = (kit: BenchKit, pick: Pick) =>
    change({ picks: { ...draft.value.picks, [keyOf(kit)]: pick } });

  const keep = async (made: readonly { kind: Kind; body: object }[], done: () => void) => {
    setBusy(true);
    setOutcome(await writtenDown(tank, draft.value.when, made, done));
    setBusy(false);
  };
  const writeTests = () =>
    attempt(setOutcome, () => {
      const bodies = [...tests, ...others]
        .map((kit) => readingOf(kit, pickOf(kit), printed))
        .filter((body) => body !== undefined);
      if (bodies.length === 0) throw new Fault(words.bench.nothing);
      return keep(
        bodies.map((body) => ({ kind: 'reading' as const, body })),
        () => change({ picks: {}, when: null }),
      );
    });
  const writeDeed = (form: (typeof DEEDS)[number]) =>
    attempt(setOutcome, () => {
      const answers = new Answers(form.fields, draft.value.deeds[form.kind] ?? {});
      const body = form.body(answers, printed);
      return keep([{ kind: form.kind, body }], () =>
        change({ deeds: { ...draft.value.deeds, [form.kind]: {} }, when: null }),
      );
    });
  const undo = async (ids: readonly EntryId[]) => {
    const strikes = ids.map((of) => ({ kind: 'strike' as const, body: { of, why: words.bench.undoReason } }));
    await write(entriesFor(tank, Date.now(), strikes));
    setOutcome({ kind: 'undone' });
  };

  const name = facts.name ?? words.rounds.unnamed;
  const filled = [...tests, ...others].filter((kit) => isFilled(pickOf(kit)));
  return (
    <>
      <div class="lede">
        <Title name={`${words.nav.bench}, ${name}`}>
          {words.bench.title(
            name,
            printed.dates.longWeekday(now.value),
            partOfDay(printed.dates.hour(now.value)),
          )}
        </Title>
        <p>{tests.length > 0 ? words.bench.lede : words.bench.noKits}</p>
        {tests.length === 0 && (
          <p class="acts">
            <a class="act" href={`${paths.workshop}?tank=${tank}#kits`}>
              {words.bench.noKitsRemedy}
            </a>
          </p>
        )}
      </div>
      <When when={draft.value.when} onWhen={(when) => change({ when })} />
      <form
        class="tests narrow"
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          void writeTests();
        }}
      >
        {tests.map((kit) => (
          <KitRow
            key={keyOf(kit)}
            kit={kit}
            pick={pickOf(kit)}
            onPick={(pick) => choose(kit, pick)}
            prediction={expected[kit.kit ?? '']}
            print={printed}
          />
        ))}
        <details
          class="opens"
          open={others.some((kit) => isFilled(pickOf(kit))) || tests.length === 0 || undefined}
        >
          <summary>{words.bench.probes}</summary>
          <div class="opened probes">
            {others.map((kit) => (
              <KitRow
                key={keyOf(kit)}
                kit={kit}
                pick={pickOf(kit)}
                onPick={(pick) => choose(kit, pick)}
                prediction={undefined}
                print={printed}
              />
            ))}
          </div>
        </details>
        <div class="write">
          <Said outcome={outcome} name={name} tank={tank} onUndo={(ids) => void undo(ids)} />
          <button class="act chief" type="submit" disabled={busy} aria-describedby="filled">
            {busy ? words.bench.writing : words.bench.write}
          </button>
          <span class="hidden-text" id="filled">
            {filled.length === 0
              ? words.bench.nothing
              : words.list(filled.map((kit) => words.analyte[kit.analyte]))}
          </span>
        </div>
      </form>
      <section class="part narrow" aria-labelledby="deeds">
        <h2 id="deeds">{words.bench.deeds}</h2>
        {DEEDS.map((form) => (
          <DeedForm
            key={form.kind}
            form={form}
            values={draft.value.deeds[form.kind] ?? {}}
            onValues={(values) => change({ deeds: { ...draft.value.deeds, [form.kind]: values } })}
            onWrite={() => void writeDeed(form)}
            print={printed}
          />
        ))}
      </section>
    </>
  );
}

interface SaidProps {
  readonly outcome: Outcome | undefined;
  readonly name: string;
  readonly tank: TankId;
  readonly onUndo: (ids: readonly EntryId[]) => void;
}

function Said({ outcome, name, tank, onUndo }: SaidProps) {
  return (
    <div class="outcome" role="status">
      {outcome?.kind === 'refused' && <p class="problem">{outcome.why}</p>}
      {outcome?.kind === 'undone' && <p>{words.bench.undone}</p>}
      {outcome?.kind === 'written' && (
        <p>
          {outcome.said}{' '}
          <button class="word" type="button" onClick={() => onUndo(outcome.ids)}>
            {words.bench.undo}
          </button>{' '}
          <a href={paths.tank(tank)}>{words.bench.seeTank(name)}</a>
        </p>
      )}
    </div>
  );
}

/** Runs what a button does; a fault in what was typed is said, anything else is not swallowed. */
async function attempt(say: (outcome: Outcome) => void, work: () => Promise<void>): Promise<void> {
  try {
    await work();
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    say({ kind: 'refused', why: error.message });
  }
}

/** Validates, keeps, and only then says so. `done` clears the bench once the entries are safe. */
async function writtenDown(
  tank: TankId,
  when: string | null,
  made: readonly { kind: Kind; body: object }[],
  done: () => void,
): Promise<Outcome> {
  const at = when === null ? Date.now() : new Date(when).getTime();
  if (Number.isNaN(at) || at > Date.now()) return { kind: 'refused', why: words.bench.future };
  const problem = made.flatMap(({ kind, body }) => bodyProblems(kind, body))[0];
  if (problem !== undefined)
    return {
      kind: 'refused',
      why: words.bench.refused(`${problem.path.replace(/^body\.?/, '')} ${problem.message}.`),
    };
  const entries = entriesFor(tank, at, made as Parameters<typeof entriesFor>[2]);
  try {
    await write(entries);
  } catch (error) {
    return {
      kind: 'refused',
      why: words.bench.refused(error instanceof Error ? error.message : String(error)),
    };
  }
  done();
  const said = words.list(entries.map((entry) => sayEntry(entry, print.value)));
  return {
    kind: 'written',
    said: words.bench.written(said, print.value.dates.clock(Date.now())),
    ids: entries.map(({ id }) => id),
  };
}

const ORDER = ['ammonia', 'nitrite', 'nitrate'];
const PLAIN = ['temperature', 'salinity', 'pH', 'alkalinity'] as const;

/** The tank's kits, nitrogen first, and the plain numbers that need none. */
function kitsOn(facts: TankFacts): { tests: readonly BenchKit[]; others: readonly BenchKit[] } {
  const kits = [...facts.kits.values()];
  const rank = (analyte: string) => (ORDER.includes(analyte) ? ORDER.indexOf(analyte) : ORDER.length);
  const tests = [...kits].sort((a, b) => rank(a.analyte) - rank(b.analyte));
  const others = PLAIN.filter((analyte) => !kits.some((kit) => kit.analyte === analyte));
  return { tests, others: others.map((analyte) => ({ kit: undefined, analyte })) };
}

const keyOf = ({ kit, analyte }: BenchKit) => kit ?? `plain ${analyte}`;

function partOfDay(hour: number): 'morning' | 'afternoon' | 'evening' | 'night' {
  if (hour < 5) return 'night';
  if (hour < 12) return 'morning';
  return hour < 18 ? 'afternoon' : 'evening';
}
