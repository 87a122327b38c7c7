import type { Analyte, KitBody, NitrogenBasis, TankId } from '@brinewright/journal';
import { ANALYTES, BASES_OF, bodyProblems } from '@brinewright/journal';
import { useState } from 'preact/hooks';
import { Fault } from '../bench/fault.ts';
import { readNumber } from '../format/numbers.ts';
import { PRESETS } from '../kits/presets.ts';
import { nameOfKit, sayKit } from '../kits/say-kit.ts';
import { Choice, Field, NumberInput, TextInput } from '../parts/field.tsx';
import { entriesFor, tanks, write } from '../state/journal.ts';
import { paths } from '../state/paths.ts';
import { print } from '../state/reader.ts';
import { mayWrite } from '../state/sharing.ts';
import { words } from '../words/index.ts';

interface Draft {
  readonly preset: string;
  readonly analyte: Analyte;
  readonly as: NitrogenBasis;
  readonly steps: string;
  readonly resolution: string;
  readonly name: string;
}

const BLANK: Draft = { preset: '', analyte: 'ammonia', as: 'N', steps: '', resolution: '', name: '' };

/** The kits of one tank, and a page to describe another. */
export function Kits({ wanted }: { wanted: string | undefined }) {
  const known = [...tanks.value.values()];
  const [chosen, setChosen] = useState(wanted ?? known[0]?.tank ?? '');
  const facts = tanks.value.get(chosen as TankId) ?? known[0];
  const of = words.workshop;
  return (
    <section class="part" aria-labelledby="kits">
      <h2 id="kits">{of.kits}</h2>
      {facts === undefined ? (
        <p>
          {of.kitNoTank} <a href={paths.newTank}>{words.rounds.openNew}</a>
        </p>
      ) : (
        <>
          <div class="form">
            <Field label={of.kitsFor}>
              <Choice
                value={facts.tank as string}
                onValue={setChosen}
                options={known.map(
                  ({ tank, name }) => [tank as string, name ?? words.rounds.unnamed] as const,
                )}
              />
            </Field>
          </div>
          {facts.kits.size === 0 && <p class="said-now">{of.kitsNone}</p>}
          <ul class="lines">
            {[...facts.kits.values()].map((kit) => (
              <li key={kit.kit}>
                {nameOfKit(kit)} <span class="soft">{sayKit(kit, print.value.numbers)}</span>
              </li>
            ))}
          </ul>
          {mayWrite(facts.tank) && <AddKit tank={facts.tank} />}
        </>
      )}
    </section>
  );
}

function AddKit({ tank }: { tank: TankId }) {
  const [draft, setDraft] = useState(BLANK);
  const [said, setSaid] = useState('');
  const [fault, setFault] = useState('');
  const of = words.workshop;
  const set = (part: Partial<Draft>) => setDraft({ ...draft, ...part });
  const text = (key: 'steps' | 'resolution' | 'name') => ({
    value: draft[key],
    onValue: (value: string) => set({ [key]: value }),
  });
  const keep = async () => {
    try {
      const body = kitBody(draft);
      await write(entriesFor(tank, Date.now(), [{ kind: 'kit', body }]));
      setSaid(of.kitWritten(nameOfKit(body)));
      setFault('');
      setDraft(BLANK);
    } catch (error) {
      setSaid('');
      setFault(error instanceof Error ? error.message : String(error));
    }
  };
  const bases = BASES_OF[draft.analyte] ?? [];
  return (
    <details class="opens">
      <summary>{of.kitAdd}</summary>
      <form
        class="opened"
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          void keep();
        }}
      >
        <div class="form">
          <Field label={of.kitPreset}>
            <Choice
              value={draft.preset}
              onValue={(preset) => setDraft(fromPreset(preset))}
              options={[
                ['', of.kitOwn],
                ...PRESETS.map(({ kit }) => [kit as string, words.kits.presets[kit]] as const),
              ]}
            />
          </Field>
          <Field label={of.kitName}>
            <TextInput {...text('name')} />
          </Field>
          <Field label={of.kitAnalyte}>
            <Choice
              value={draft.analyte}
              onValue={(analyte) => set({ analyte, as: BASES_OF[analyte]?.[0] ?? 'N' })}
              options={ANALYTES.map((a) => [a, words.analyte[a]] as const)}
            />
          </Field>
          {bases.length > 0 && (
            <Field label={of.kitAs}>
              <Choice
                value={draft.as}
                onValue={(as) => set({ as })}
                options={bases.map((b) => [b, words.ion[b]] as const)}
              />
            </Field>
          )}
          <Field label={of.kitSteps} hint={of.kitStepsHint} wide>
            <TextInput {...text('steps')} />
          </Field>
          <Field label={of.kitResolution} hint={words.bench.field.optional}>
            <NumberInput {...text('resolution')} />
          </Field>
        </div>
        <p class="said-now problem" role="alert">
          {fault}
        </p>
        <p class="acts">
          <button class="act" type="submit">
            {of.kitWrite}
          </button>
        </p>
      </form>
      <p class="said-now" role="status">
        {said}
      </p>
    </details>
  );
}

function fromPreset(name: string): Draft {
  const preset: KitBody | undefined = PRESETS.map((p) => structuredClone(p) as KitBody).find(
    ({ kit }) => kit === name,
  );
  if (preset === undefined) return BLANK;
  return {
    preset: name,
    analyte: preset.analyte,
    as: preset.as ?? 'N',
    steps: preset.steps?.join(' ') ?? '',
    resolution: preset.resolution === undefined ? '' : String(preset.resolution),
    name: nameOfKit(preset),
  };
}

/** @throws Fault saying what does not fit */
function kitBody({ preset, analyte, as, steps, resolution, name }: Draft): KitBody {
  const of = words.workshop;
  const typed = name.trim();
  if (typed === '') throw new Fault(words.bench.missing(of.kitName));
  const presets: Readonly<Record<string, string>> = words.kits.presets;
  const numbers = steps.trim() === '' ? undefined : steps.trim().split(/\s+/).map(readNumber);
  const rising = numbers?.every(
    (n, i) => n !== undefined && !Number.isNaN(n) && (i === 0 || n > (numbers[i - 1] ?? n)),
  );
  if (numbers !== undefined && (numbers.length < 2 || rising !== true)) throw new Fault(of.kitStepsBad);
  const smallest = readNumber(resolution);
  if (Number.isNaN(smallest)) throw new Fault(words.bench.notNumber(of.kitResolution));
  const body = {
    kit: presets[preset] === typed ? preset : typed,
    analyte,
    ...((BASES_OF[analyte] ?? []).length > 0 && { as }),
    ...(numbers !== undefined && { steps: numbers as number[] }),
    ...(smallest !== undefined && { resolution: smallest }),
  };
  const problem = bodyProblems('kit', body)[0];
  if (problem !== undefined) throw new Fault(`${problem.message}. ${problem.remedy}`);
  return body;
}
