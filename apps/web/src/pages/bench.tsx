import type { TankFacts, TankId } from '@brinewright/journal';
import { useEffect } from 'preact/hooks';
import { DeedForm } from '../bench/deed-form.tsx';
import { DEEDS } from '../bench/deeds.ts';
import { isFilled } from '../bench/draft.ts';
import { isFar } from '../bench/far.ts';
import { KitRow } from '../bench/kit-row.tsx';
import { type AskedFor, keyOf, kitsOn } from '../bench/kits-on.ts';
import { type BenchKit, readingOrNone } from '../bench/reading.ts';
import { Said } from '../bench/said.tsx';
import { useAskedFor } from '../bench/use-asked-for.ts';
import { type Place, useBench } from '../bench/use-bench.ts';
import { keyOfAsk, useExpectations } from '../bench/use-expectations.ts';
import { When } from '../bench/when.tsx';
import { sayMoment } from '../bench/write-down.ts';
import { readNumber } from '../format/numbers.ts';
import { Title } from '../parts/title.tsx';
import { factsFor } from '../state/journal.ts';
import { paths } from '../state/paths.ts';
import { now, print } from '../state/reader.ts';
import { mayWrite } from '../state/sharing.ts';
import { words } from '../words/index.ts';
import { LostTank } from './lost.tsx';
import { NotYours } from './not-yours.tsx';

/** Where tests and deeds are written down, with one hand, at the tank. */
export function Bench({ id }: { id: string }) {
  const facts = factsFor(id as TankId);
  if (facts === undefined) return <LostTank id={id} />;
  return mayWrite(facts.tank) ? <BenchOf key={facts.tank} facts={facts} /> : <NotYours facts={facts} />;
}

function BenchOf({ facts }: { facts: TankFacts }) {
  const { tank, name = words.rounds.unnamed } = facts;
  const bench = useBench(facts);
  const draft = bench.draft.picks;
  const asked = useAskedFor(tank, Object.values(draft).some(isFilled));
  const { tests, others } = kitsOn(facts, asked);
  useEffect(() => document.getElementById(location.hash.slice(1))?.scrollIntoView(), []);
  const dilutionOf = (kit: BenchKit) => readNumber(bench.pickOf(kit).dilution) ?? 1;
  const planned = tests.map((kit) => ({ kit, dilution: dilutionOf(kit) }));
  const expected = useExpectations(tank, planned, instantOf(bench.draft.when));
  const filled = [...tests, ...others].filter((kit) => isFilled(bench.pickOf(kit)));
  const predictionOf = (kit: BenchKit) =>
    kit.kit === undefined ? undefined : expected[keyOfAsk({ kit: kit.kit, dilution: dilutionOf(kit) })];
  const foretold = tests.flatMap((kit) => {
    const prediction = predictionOf(kit);
    return prediction ? [{ kit, prediction }] : [];
  });
  const farOff = foretold.flatMap(({ kit, prediction }) => {
    const body = readingOrNone(kit, bench.pickOf(kit), print.value);
    return body !== undefined && isFar(body, prediction) ? [words.analyte[kit.analyte]] : [];
  });
  const row = (kit: BenchKit) => (
    <KitRow
      key={keyOf(kit)}
      kit={kit}
      pick={bench.pickOf(kit)}
      onPick={(pick) => bench.choose(kit, pick)}
      prediction={predictionOf(kit)}
      asked={askedOf(kit, asked)}
      others={foretold}
      print={print.value}
    />
  );
  const saidAt = (place: Place) => (
    <Said
      outcome={bench.outcomeAt(place)}
      tank={tank}
      name={name}
      onUndo={(ids) => void bench.undo(place, ids)}
    />
  );
  return (
    <>
      <Heading name={name} tank={tank} hasKits={tests.length > 0} />
      <When when={bench.draft.when} onWhen={bench.setWhen} />
      <form
        class="tests narrow"
        id="tests"
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          void bench.writeTests([...tests, ...others]);
        }}
      >
        {tests.map(row)}
        <details
          class="opens"
          open={tests.length === 0 || filled.some(({ kit }) => kit === undefined) || undefined}
        >
          <summary>{words.bench.probes}</summary>
          <div class="opened probes">{others.map(row)}</div>
        </details>
        <div class="write">
          {saidAt('tests')}
          {bench.draft.when !== null && (
            <p class="soft dated">{words.bench.dated(sayMoment(instantOf(bench.draft.when)))}</p>
          )}
          {farOff.length > 0 && <p class="now far-off">{words.bench.far.before(words.list(farOff))}</p>}
          <button class="act chief" type="submit" disabled={bench.busy} aria-describedby="filled">
            {bench.busy ? words.bench.writing : words.bench.write}
          </button>
          <span class="hidden-text" id="filled">
            {filled.length === 0
              ? words.bench.nothing
              : words.list(filled.map(({ analyte }) => words.analyte[analyte]))}
          </span>
        </div>
      </form>
      <section class="part narrow" aria-labelledby="deeds">
        <h2 id="deeds">{words.bench.deeds}</h2>
        {DEEDS.map((form) => (
          <DeedForm
            key={form.kind}
            form={form}
            values={bench.draft.deeds[form.kind] ?? {}}
            onValues={(values) => bench.fill(form.kind, values)}
            onWrite={() => void bench.writeDeed(form)}
            print={print.value}
          >
            {saidAt(form.kind)}
          </DeedForm>
        ))}
      </section>
    </>
  );
}

function askedOf({ kit }: BenchKit, asked: readonly AskedFor[] | undefined) {
  if (kit === undefined || asked === undefined) return undefined;
  return asked.find((one) => one.kit === kit) ?? 'not';
}

function Heading({ name, tank, hasKits }: { name: string; tank: TankId; hasKits: boolean }) {
  const { longWeekday, hour } = print.value.dates;
  return (
    <div class="lede">
      <Title name={`${words.nav.bench}, ${name}`}>
        {words.bench.title(name, longWeekday(now.value), partOfDay(hour(now.value)))}
      </Title>
      <p>{hasKits ? words.bench.lede : words.bench.noKits}</p>
      {!hasKits && (
        <p class="acts">
          <a class="act" href={`${paths.workshop}?tank=${tank}#kits`}>
            {words.bench.noKitsRemedy}
          </a>
        </p>
      )}
    </div>
  );
}

function instantOf(when: string | null): number {
  const at = when === null ? now.value : new Date(when).getTime();
  return Number.isNaN(at) ? now.value : at;
}

function partOfDay(hour: number): 'morning' | 'afternoon' | 'evening' | 'night' {
  if (hour < 5) return 'night';
  if (hour < 12) return 'morning';
  return hour < 18 ? 'afternoon' : 'evening';
}
