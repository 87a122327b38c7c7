import { type ComponentChildren, createContext } from 'preact';
import { useContext, useId } from 'preact/hooks';

/** What ties an input to the label and the hint of the field it stands in. */
const Tie = createContext<{ readonly id?: string; readonly 'aria-describedby'?: string }>({});

interface FieldProps {
  readonly label: string;
  readonly hint?: string | undefined;
  readonly wide?: boolean;
  readonly children: ComponentChildren;
}

/** A label, what to write under it, and the place to write. */
export function Field({ label, hint, wide = false, children }: FieldProps) {
  const id = useId();
  const hintId = `${id}-hint`;
  return (
    <div class={wide ? 'field wide' : 'field'}>
      <label for={id}>{label}</label>
      {hint !== undefined && (
        <span class="hint" id={hintId}>
          {hint}
        </span>
      )}
      <span class="entry">
        <Tie.Provider value={hint === undefined ? { id } : { id, 'aria-describedby': hintId }}>
          {children}
        </Tie.Provider>
      </span>
    </div>
  );
}

interface TextProps {
  readonly value: string;
  readonly onValue: (value: string) => void;
  readonly unit?: string | undefined;
  /** Its name for a screen reader, where no visible label goes with it. */
  readonly label?: string;
  readonly required?: boolean;
}

interface LineProps extends TextProps {
  /** What a browser may fill in. */
  readonly complete?: 'off' | 'username' | 'current-password' | 'new-password';
}

export function TextInput({ value, onValue, required = false, complete = 'off' }: LineProps) {
  return (
    <input
      {...useContext(Tie)}
      type="text"
      autoComplete={complete}
      required={required}
      value={value}
      onInput={(event) => onValue(event.currentTarget.value)}
    />
  );
}

export function PasswordInput({
  value,
  onValue,
  complete = 'off',
  least,
}: LineProps & { readonly least?: number }) {
  return (
    <input
      {...useContext(Tie)}
      type="password"
      autoComplete={complete}
      required
      minLength={least}
      value={value}
      onInput={(event) => onValue(event.currentTarget.value)}
    />
  );
}

/** Something to take away, not to change: an address, a link. */
export function Shown({ value }: { readonly value: string }) {
  return (
    <input
      {...useContext(Tie)}
      type="text"
      readOnly
      value={value}
      onFocus={(event) => event.currentTarget.select()}
    />
  );
}

export function LinesInput({ value, onValue }: TextProps) {
  return (
    <textarea {...useContext(Tie)} value={value} onInput={(event) => onValue(event.currentTarget.value)} />
  );
}

/** A number as typed; a point and a comma both serve as the decimal mark, and a phone shows its number keys. */
export function NumberInput({ value, onValue, unit, label, required = false }: TextProps) {
  return (
    <>
      <input
        {...useContext(Tie)}
        type="text"
        inputMode="decimal"
        autoComplete="off"
        enterKeyHint="done"
        aria-label={label}
        required={required}
        value={value}
        onInput={(event) => onValue(event.currentTarget.value)}
      />
      {unit !== undefined && unit !== '' && <span class="unit">{unit}</span>}
    </>
  );
}

interface ChoiceProps<T extends string> {
  readonly value: T;
  readonly onValue: (value: T) => void;
  readonly options: readonly (readonly [T, string])[];
  /** Its name for a screen reader, where no visible label goes with it. */
  readonly label?: string;
}

export function Choice<T extends string>({ value, onValue, options, label }: ChoiceProps<T>) {
  return (
    <select
      {...useContext(Tie)}
      aria-label={label}
      value={value}
      onChange={(event) => onValue(event.currentTarget.value as T)}
    >
      {options.map(([key, name]) => (
        <option key={key} value={key}>
          {name}
        </option>
      ))}
    </select>
  );
}

interface RadiosProps<T extends string> extends Omit<ChoiceProps<T>, 'label'> {
  readonly legend: string;
  readonly name: string;
  readonly hints?: Readonly<Partial<Record<T, string>>>;
  readonly across?: boolean;
}

export function Radios<T extends string>({
  legend,
  name,
  value,
  onValue,
  options,
  hints,
  across,
}: RadiosProps<T>) {
  return (
    <fieldset class={across ? 'choices across' : 'choices'}>
      <legend>{legend}</legend>
      <div>
        {options.map(([key, label]) => (
          <label key={key}>
            <input
              type="radio"
              name={name}
              value={key}
              checked={value === key}
              onChange={() => onValue(key)}
            />
            <span>
              {label}
              {hints?.[key] !== undefined && <span class="soft">{hints[key]}</span>}
            </span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}

/** A day and an hour on the clock, here. */
export function TimeInput({ value, onValue, max }: TextProps & { readonly max?: string }) {
  return (
    <input
      {...useContext(Tie)}
      type="datetime-local"
      value={value}
      max={max}
      onInput={(event) => onValue(event.currentTarget.value)}
    />
  );
}

/** A time of day on the clock: "21:30". */
export function ClockInput({ value, onValue }: TextProps) {
  return (
    <input
      {...useContext(Tie)}
      type="time"
      required
      value={value}
      onInput={(event) => onValue(event.currentTarget.value)}
    />
  );
}

/** A file to read; the same file can be chosen again after it was mended. */
export function FileInput({
  accept,
  onFile,
}: {
  readonly accept: string;
  readonly onFile: (file: File) => void;
}) {
  return (
    <input
      {...useContext(Tie)}
      type="file"
      accept={accept}
      onChange={(event) => {
        const [file] = event.currentTarget.files ?? [];
        if (file !== undefined) onFile(file);
      }}
    />
  );
}
