import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import type { Print } from '../format/print.ts';
import { Choice, Field, LinesInput, NumberInput, TextInput } from '../parts/field.tsx';
import { words } from '../words/index.ts';
import type { DeedField, DeedForm as Form, Values } from './deeds.ts';

interface DeedFormProps {
  readonly form: Form;
  readonly values: Values;
  readonly onValues: (values: Values) => void;
  readonly onWrite: () => void;
  readonly print: Print;
  /** What came of the last press of its button. */
  readonly children: ComponentChildren;
}

/** Something done, behind its name until it is wanted. */
export function DeedForm({ form, values, onValues, onWrite, print, children }: DeedFormProps) {
  const name = words.bench.deed[form.kind as keyof typeof words.bench.deed];
  const danger = words.bench.dangers[form.kind];
  const [begun] = useState(Object.values(values).some((value) => value !== ''));
  const [opened, setOpened] = useState(begun);
  return (
    <details
      class="opens"
      name="deed"
      id={form.kind}
      open={begun}
      onToggle={(event) => event.currentTarget.open && setOpened(true)}
    >
      <summary>{name}</summary>
      {opened && (
        <form
          class="opened"
          noValidate
          onSubmit={(event) => {
            event.preventDefault();
            onWrite();
          }}
        >
          <DeedFields form={form} values={values} onValues={onValues} print={print} />
          {danger !== undefined && <p class="remark">{danger}</p>}
          <p class="acts">
            <button class="act" type="submit">
              {words.bench.writeDeed(name)}
            </button>
          </p>
          {children}
        </form>
      )}
    </details>
  );
}

/** The places to write on, as far as what is chosen asks for them. */
export function DeedFields({
  form,
  values,
  onValues,
  print,
}: Pick<DeedFormProps, 'form' | 'values' | 'onValues' | 'print'>) {
  return (
    <div class="form">
      {form.fields
        .filter((field) => field.when?.(values) !== false)
        .map((field) => (
          <Field key={field.key} label={field.label} hint={hintOf(field)} wide={field.wide ?? false}>
            <Input
              field={field}
              value={values[field.key]}
              onValue={(value) => onValues({ ...values, [field.key]: value })}
              print={print}
            />
          </Field>
        ))}
    </div>
  );
}

const hintOf = ({ hint, optional }: DeedField) => hint ?? (optional ? words.bench.field.optional : undefined);

interface InputProps {
  readonly field: DeedField;
  readonly value: string | undefined;
  readonly onValue: (value: string) => void;
  readonly print: Print;
}

function Input({ field, value, onValue, print }: InputProps) {
  if (field.type === 'choice') {
    const options = field.options ?? [];
    return <Choice value={value ?? options[0]?.[0] ?? ''} onValue={onValue} options={options} />;
  }
  if (field.type === 'lines') return <LinesInput value={value ?? ''} onValue={onValue} />;
  if (field.type === 'text') return <TextInput value={value ?? ''} onValue={onValue} />;
  return <NumberInput value={value ?? ''} onValue={onValue} unit={field.unit?.(print)} />;
}
