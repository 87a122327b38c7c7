import type { KitBody, Route, TankBody } from '@brinewright/journal';
import { bodyProblems, newTankId, ROUTES } from '@brinewright/journal';
import { useState } from 'preact/hooks';
import { useLocation } from 'preact-iso';
import { Fault } from '../bench/fault.ts';
import { instantHere, localField } from '../format/dates.ts';
import { readNumber } from '../format/numbers.ts';
import type { Print } from '../format/print.ts';
import { PRESETS, type PresetName, USUAL } from '../kits/presets.ts';
import { sayKit } from '../kits/say-kit.ts';
import { Field, NumberInput, Radios, TextInput, TimeInput } from '../parts/field.tsx';
import { Title } from '../parts/title.tsx';
import { entriesFor, write } from '../state/journal.ts';
import { forget, kept } from '../state/kept.ts';
import { paths } from '../state/paths.ts';
import { print } from '../state/reader.ts';
import { words } from '../words/index.ts';

interface Draft {
  readonly name: string;
  readonly litres: string;
  readonly sd: string;
  readonly salinity: string;
  readonly temperature: string;
  readonly pH: string;
  readonly alkalinity: string;
  readonly rock: string;
  readonly opened: string;
  readonly route: Route;
  readonly kits: readonly PresetName[];
}

const blank = (): Draft => ({
  name: '',
  litres: '',
  sd: '',
  salinity: '35',
  temperature: '',
  pH: '',
  alkalinity: '',
  rock: '',
  opened: localField(Date.now()),
  route: 'salt+culture',
  kits: USUAL,
});

const draft = kept<Draft>('new-tank', blank());

/** A new tank: what is known of it, how it is started, and the kits at hand. */
export function NewTank() {
  const { route } = useLocation();
  const [fault, setFault] = useState<string | undefined>();
  const [busy, setBusy] = useState(false);
  const of = words.newTank;
  const { volume, temperature, numbers } = print.value;
  const set = (part: Partial<Draft>) => {
    draft.value = { ...draft.value, ...part };
  };
  const text = (
    key: 'name' | 'litres' | 'sd' | 'salinity' | 'temperature' | 'pH' | 'alkalinity' | 'rock',
  ) => ({
    value: draft.value[key],
    onValue: (value: string) => set({ [key]: value }),
  });
  const open = async () => {
    setBusy(true);
    try {
      const id = await opened(draft.value, print.value);
      draft.value = blank();
      forget('new-tank');
      route(paths.tank(id));
    } catch (error) {
      setFault(error instanceof Error ? error.message : String(error));
      setBusy(false);
    }
  };
  return (
    <form
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void open();
      }}
    >
      <div class="lede">
        <Title name={of.title}>{of.title}</Title>
        <p>{of.lede}</p>
      </div>
      <div class="part narrow form">
        <Field label={of.name} wide>
          <TextInput {...text('name')} required />
        </Field>
        <Field label={of.litres} hint={of.litresHint}>
          <NumberInput {...text('litres')} unit={volume.unit} />
        </Field>
        <Field label={of.sd} hint={of.sdHint}>
          <NumberInput {...text('sd')} unit={volume.unit} />
        </Field>
        <Field label={of.salinity} hint={of.salinityHint}>
          <NumberInput {...text('salinity')} />
        </Field>
        <Field label={of.temperature} hint={of.temperatureHint(temperature.say(25))}>
          <NumberInput {...text('temperature')} unit={temperature.unit} />
        </Field>
        <Field label={of.pH} hint={words.bench.field.optional}>
          <NumberInput {...text('pH')} />
        </Field>
        <Field label={of.alkalinity} hint={words.bench.field.optional}>
          <NumberInput {...text('alkalinity')} unit={words.unitsOf.alkalinity} />
        </Field>
        <Field label={of.rock} hint={words.bench.field.optional}>
          <NumberInput {...text('rock')} unit={words.unitsOf.kilograms} />
        </Field>
        <Field label={of.opened} hint={of.openedHint}>
          <TimeInput value={draft.value.opened} onValue={(opened) => set({ opened })} />
        </Field>
      </div>
      <div class="part narrow">
        <Radios
          legend={of.route}
          name="route"
          value={draft.value.route}
          onValue={(chosen) => set({ route: chosen })}
          options={ROUTES.map((r) => [r, words.routes[r].name] as const)}
          hints={Object.fromEntries(ROUTES.map((r) => [r, words.routes[r].hint]))}
        />
      </div>
      <div class="part narrow">
        <fieldset class="choices">
          <legend>{of.kits}</legend>
          <p class="soft">{of.kitsHint}</p>
          <div>
            {PRESETS.map((preset) => (
              <label key={preset.kit}>
                <input
                  type="checkbox"
                  checked={draft.value.kits.includes(preset.kit)}
                  onChange={(event) =>
                    set({ kits: toggled(draft.value.kits, preset.kit, event.currentTarget.checked) })
                  }
                />
                <span>
                  {words.kits.presets[preset.kit]}
                  <span class="soft">{sayKit(preset, numbers)}</span>
                </span>
              </label>
            ))}
          </div>
        </fieldset>
      </div>
      <p class="said-now problem" role="alert">
        {fault}
      </p>
      <p class="acts">
        <button class="act chief" type="submit" disabled={busy}>
          {busy ? of.opening : of.open}
        </button>
      </p>
    </form>
  );
}

const toggled = (kits: readonly PresetName[], kit: PresetName, on: boolean) =>
  on ? [...kits, kit] : kits.filter((k) => k !== kit);

/** Writes the tank and its kits down; returns its id. @throws Fault naming the field that cannot be taken */
async function opened(form: Draft, printed: Print): Promise<string> {
  const at = new Date(form.opened).getTime();
  if (Number.isNaN(at)) throw new Fault(words.bench.missing(words.newTank.opened));
  const tank = newTankId(Date.now(), crypto.getRandomValues(new Uint8Array(10)));
  const kits = PRESETS.filter(({ kit }) => form.kits.includes(kit)).map((preset) => ({
    kind: 'kit' as const,
    body: mutable(preset),
  }));
  const body = tankBody(form, at, printed);
  const problem = bodyProblems('tank', body)[0];
  if (problem !== undefined) throw new Fault(`${problem.path} ${problem.message}. ${problem.remedy}`);
  await write(entriesFor(tank, at, [{ kind: 'tank', body }, ...kits]));
  return tank;
}

const mutable = (preset: (typeof PRESETS)[number]): KitBody => structuredClone(preset) as KitBody;

function tankBody(form: Draft, at: number, { volume, temperature }: Print): TankBody {
  const of = words.newTank;
  const name = form.name.trim();
  if (name === '') throw new Fault(of.nameMissing);
  const litres = numberIn(form.litres, of.litres, volume.fromShown);
  const sd = numberIn(form.sd, of.sd, volume.fromShown);
  const rock = numberIn(form.rock, of.rock);
  const known = {
    name,
    litres: litres === undefined ? undefined : { value: litres, sd: sd ?? rounded(litres * USUAL_ERROR) },
    salinity: numberIn(form.salinity, of.salinity),
    temperatureC: numberIn(form.temperature, of.temperature, temperature.fromShown),
    pH: numberIn(form.pH, of.pH),
    alkalinityMeqL: numberIn(form.alkalinity, of.alkalinity),
    surfaces: rock === undefined ? undefined : [{ material: 'dry-rock', kg: rock }],
    route: form.route,
    opened: instantHere(at),
  };
  return Object.fromEntries(Object.entries(known).filter(([, value]) => value !== undefined)) as TankBody;
}

/** Net litres worked out from outside measures are off by about a tenth where nothing better is said. */
const USUAL_ERROR = 0.1;

function numberIn(typed: string, label: string, convert = (n: number) => n): number | undefined {
  const value = readNumber(typed);
  if (value === undefined) return undefined;
  if (Number.isNaN(value)) throw new Fault(words.bench.notNumber(label));
  return rounded(convert(value));
}

const rounded = (value: number) => Number(value.toPrecision(6));
