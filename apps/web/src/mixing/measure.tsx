import type { TankFacts } from '@brinewright/journal';
import { useEffect, useRef, useState } from 'preact/hooks';
import { mixingWords } from '../words/mixing.ts';
import type { Tie } from './field-row.tsx';
import type { FieldState } from './sheet.ts';
import { type Asked, rememberUnit, type Unit, unitsOf } from './units.ts';
import { asItStands, laidOut, namesUnit, type Written } from './written.ts';

interface MeasureProps {
  readonly asked: Asked;
  readonly tank: TankFacts | undefined;
  readonly state: FieldState;
  readonly written: Written;
  readonly tie: Tie;
  readonly onWrite: (written: Written) => void;
}

/** Fields that count things: there is no give or take. */
const counts = new Set(['changes', 'parts', 'baffles']);

/** A number, give or take, and its unit. */
export function Measure({ asked, tank, state, written, tie, onWrite }: MeasureProps) {
  const { id, field } = asked;
  const of = mixingWords.field;
  const units = unitsOf(asked);
  const unit = units.find(({ key }) => key === written.unit) ?? units[0]!;
  const switchTo = (chosen: Unit) => {
    rememberUnit(asked, tank, chosen);
    if (state.touched) onWrite({ ...written, unit: chosen.key });
    else if (chosen.passing) onWrite(inUnitOf(asked, state.text, chosen));
  };
  const tidy = () => {
    const standing = namesUnit(written.number) ? asItStands(asked, state.text) : undefined;
    if (standing !== undefined) onWrite(standing);
  };
  return (
    <span class="entry measure">
      <input
        {...tie}
        type="text"
        inputMode="decimal"
        autoComplete="off"
        enterKeyHint="done"
        placeholder={field.preset === '0' ? '0' : undefined}
        value={written.number}
        onFocus={(event) => event.currentTarget.select()}
        onInput={(event) => onWrite({ ...written, number: event.currentTarget.value })}
        onBlur={tidy}
      />
      {!counts.has(id) && (
        <GiveOrTake
          title={field.title}
          value={written.error}
          onValue={(error) => onWrite({ ...written, error })}
        />
      )}
      {namesUnit(written.number) ? (
        <span class="unit">{of.asWritten}</span>
      ) : units.length > 1 ? (
        <select
          class="unit-choice"
          aria-label={of.unitOf(field.title)}
          value={unit.key}
          onChange={(event) => {
            const chosen = units.find(({ key }) => key === event.currentTarget.value);
            if (chosen !== undefined) switchTo(chosen);
          }}
        >
          {units.map(({ key, label }) => (
            <option key={key} value={key}>
              {label}
            </option>
          ))}
        </select>
      ) : (
        unit.label !== '' && <span class="unit">{unit.label}</span>
      )}
    </span>
  );
}

const inUnitOf = (asked: Asked, text: string, unit: Unit): Written =>
  text === '' ? { number: '', error: '', unit: unit.key } : laidOut(asked, text, unit);

interface GiveOrTakeProps {
  readonly title: string;
  readonly value: string;
  readonly onValue: (value: string) => void;
}

/** How sure a number is: a sign to tap until someone knows. */
function GiveOrTake({ title, value, onValue }: GiveOrTakeProps) {
  const [opened, setOpened] = useState(false);
  const input = useRef<HTMLInputElement>(null);
  const of = mixingWords.field;
  useEffect(() => {
    if (opened) input.current?.focus();
  }, [opened]);
  if (value === '' && !opened)
    return (
      <button
        class="give-or-take"
        type="button"
        aria-label={of.addError(title)}
        onClick={() => setOpened(true)}
      >
        ±
      </button>
    );
  return (
    <>
      <span aria-hidden="true">±</span>
      <input
        class="error"
        type="text"
        inputMode="decimal"
        autoComplete="off"
        enterKeyHint="done"
        aria-label={of.errorOf(title)}
        value={value}
        ref={input}
        onFocus={(event) => event.currentTarget.select()}
        onInput={(event) => {
          setOpened(true);
          onValue(event.currentTarget.value);
        }}
      />
    </>
  );
}
