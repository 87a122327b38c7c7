import type { Prediction } from '@brinewright/counsel';
import { useId } from 'preact/hooks';
import { unitOf } from '../entries/say-reading.ts';
import type { Print } from '../format/print.ts';
import { Choice, NumberInput } from '../parts/field.tsx';
import { preferences } from '../state/reader.ts';
import { words } from '../words/index.ts';
import { type Pick as RowPick, tapped, tappedBeyond } from './draft.ts';
import { expectationOf, isUnexpected, sayExpectation } from './expectation.ts';
import { isFar, whyFar } from './far.ts';
import { type BenchKit, meaningOf, readingOrNone } from './reading.ts';

interface KitRowProps {
  readonly kit: BenchKit;
  readonly pick: RowPick;
  readonly onPick: (pick: RowPick) => void;
  readonly prediction: Prediction | null | undefined;
  readonly print: Print;
  /** Whether the orders ask for it today, at what dilution; undefined where they ask for nothing in particular. */
  readonly asked?: { readonly dilution: number } | 'not' | undefined;
  /** The other rows with what is expected of them, to tell where a number may have strayed from. */
  readonly others: readonly { readonly kit: BenchKit; readonly prediction: Prediction }[];
}

/** One test: the steps of its card as targets for a wet thumb, or a place for a number. */
export function KitRow({ kit, pick, onPick, prediction, print, asked, others }: KitRowProps) {
  const id = useId();
  const name = words.analyte[kit.analyte];
  const unit = kit.analyte === 'temperature' ? print.temperature.unit : unitOf(kit.analyte);
  const basis = kit.as === undefined ? undefined : words.asIon(words.ion[kit.as]);
  return (
    <section class="kit" aria-labelledby={id}>
      <div class="kit-head">
        <h2 id={id}>{name}</h2>
        {kit.kit !== undefined && (
          <span class="soft">
            {[
              ownName(kit.kit),
              [unit, basis].filter(Boolean).join(' '),
              asked === 'not' && words.bench.notAsked,
            ]
              .filter(Boolean)
              .join(' · ')}
          </span>
        )}
        {asked !== undefined && asked !== 'not' && <span class="now">{askedWords(asked)}</span>}
        {kit.kit !== undefined && isNitrogen(kit) && <Dilution kit={kit} pick={pick} onPick={onPick} />}
      </div>
      {kit.steps === undefined ? (
        <Typed kit={kit} pick={pick} onPick={onPick} unit={unit} />
      ) : (
        <Steps kit={kit} steps={kit.steps} pick={pick} onPick={onPick} print={print} />
      )}
      <Meaning kit={kit} pick={pick} prediction={prediction} print={print} others={others} />
    </section>
  );
}

const askedWords = ({ dilution }: { readonly dilution: number }) =>
  words.bench.asked(dilution === 1 ? undefined : words.entry.diluted(String(dilution)));

/** A kit its owner described is named, so that two for one analyte can be told apart. */
const ownName = (kit: string) => (kit in words.kits.presets ? undefined : kit);

const isNitrogen = ({ analyte }: BenchKit) =>
  analyte === 'ammonia' || analyte === 'nitrite' || analyte === 'nitrate';

type StepsProps = Pick<KitRowProps, 'kit' | 'pick' | 'onPick' | 'print'> & {
  readonly steps: readonly number[];
};

function Steps({ kit, steps, pick, onPick, print }: StepsProps) {
  const printed = steps.map(print.numbers.plain);
  const top = printed[printed.length - 1] ?? '';
  const count = printed.length + ((steps[0] ?? 0) > 0 ? 2 : 1);
  return (
    <fieldset class="steps" style={{ '--count': String(count), '--half': String(Math.ceil(count / 2)) }}>
      <legend class="hidden-text">{words.bench.steps(words.analyte[kit.analyte])}</legend>
      {(steps[0] ?? 0) > 0 && (
        <button
          type="button"
          aria-pressed={pick.beyond === 'under'}
          aria-label={words.bench.underLabel(printed[0] ?? '')}
          onClick={() => onPick(tappedBeyond(pick, 'under'))}
        >
          {words.bench.under}
        </button>
      )}
      {printed.map((label, i) => (
        <button
          key={label}
          type="button"
          aria-pressed={pick.steps.includes(i)}
          onClick={() => onPick(tapped(pick, i))}
        >
          {label}
        </button>
      ))}
      <button
        type="button"
        aria-pressed={pick.beyond === 'over'}
        aria-label={words.bench.overLabel(top)}
        onClick={() => onPick(tappedBeyond(pick, 'over'))}
      >
        {words.bench.over}
      </button>
    </fieldset>
  );
}

function Typed({
  kit,
  pick,
  onPick,
  unit,
}: Pick<KitRowProps, 'kit' | 'pick' | 'onPick'> & { readonly unit: string }) {
  const name = words.analyte[kit.analyte];
  return (
    <div class="typed">
      {kit.kit !== undefined && (
        <Choice
          label={words.bench.formOf(name)}
          value={pick.form}
          onValue={(form) => onPick({ ...pick, form })}
          options={[
            ['value', words.bench.forms.value],
            ['over', words.bench.forms.over],
            ['under', words.bench.forms.under],
          ]}
        />
      )}
      <NumberInput
        label={name}
        value={pick.typed}
        onValue={(typed) => onPick({ ...pick, typed })}
        unit={unit}
      />
    </div>
  );
}

/** What the number comes to in the water, and whether it was to be expected. */
function Meaning({ kit, pick, prediction, print, others }: Omit<KitRowProps, 'onPick' | 'asked'>) {
  const body = readingOrNone(kit, pick, print);
  const isTold = body !== undefined || preferences.value.expectation === 'at-once';
  const expected = prediction && isTold ? expectationOf(prediction) : undefined;
  const meaning = body === undefined ? undefined : meaningOf(body, print);
  const far = body !== undefined && prediction ? isFar(body, prediction) : false;
  return (
    <div class="meaning" aria-live="polite">
      <p>
        {meaning !== undefined && `${words.bench.reads(meaning)}. `}
        {expected !== undefined && sayExpectation(expected, print.numbers)}
        {!far && expected !== undefined && body !== undefined && isUnexpected(body, expected) && (
          <strong class="now"> {words.bench.unexpected}</strong>
        )}
      </p>
      {far && body !== undefined && prediction && (
        <div class="far">
          <strong class="now">{words.bench.far.ask}</strong>
          <ul>
            {whyFar(kit, body, prediction, others, print.numbers).map((hint) => (
              <li key={hint}>{hint}</li>
            ))}
          </ul>
        </div>
      )}
    </div>
  );
}

const DILUTIONS = ['1', '2', '5', '10', '20'];

function Dilution({ kit, pick, onPick }: Pick<KitRowProps, 'kit' | 'pick' | 'onPick'>) {
  const options = DILUTIONS.includes(pick.dilution) ? DILUTIONS : [...DILUTIONS, pick.dilution];
  return (
    <span class="dilution">
      <Choice
        label={words.bench.dilutionOf(words.analyte[kit.analyte])}
        value={pick.dilution}
        onValue={(dilution) => onPick({ ...pick, dilution })}
        options={options.map((d) => [d, d === '1' ? words.bench.undiluted : words.bench.oneIn(d)] as const)}
      />
    </span>
  );
}
