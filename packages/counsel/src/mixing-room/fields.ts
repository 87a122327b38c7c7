import type { Measured } from '@brinewright/seawater';
import { InputFault } from '../input-fault.ts';
import { canonicalUnit, type QuantityKind } from '../units/kinds.ts';
import { parseQuantity } from '../units/parse.ts';

/** What every field tells the person who fills it in. */
type Asked = {
  title: string;
  help: string;
  /** Text used where the field is left empty, in the same form a person would write. */
  preset?: string;
};

/** A number with unit and error. Without `preset` and not `optional`, it has to be given. */
export type QuantityField = Asked & {
  kind: QuantityKind;
  /** Unit a bare number is in, where people would not think of the canonical one. */
  bareUnit?: string;
  optional?: true;
  low?: number;
  high?: number;
};

/** One of a few words, each with its meaning. */
export type ChoiceField = Asked & { kind: 'choice'; options: Readonly<Record<string, string>> };

/** Free text, such as a formula. */
export type TextField = Asked & { kind: 'text'; optional?: true };

export type Field = QuantityField | ChoiceField | TextField;

/** What a tool's arithmetic is given for each of its fields. */
export type Given<F extends Readonly<Record<string, Field>>> = {
  [K in keyof F]: F[K] extends { kind: 'choice'; options: infer O }
    ? keyof O & string
    : F[K] extends { kind: 'text' }
      ? F[K] extends { optional: true }
        ? string | undefined
        : string
      : F[K] extends { optional: true }
        ? Measured | undefined
        : Measured;
};

/** The value of one field from its text; undefined only for an optional field left empty. */
export function readField(id: string, field: Field, text: string | undefined): Measured | string | undefined {
  const given = text?.trim();
  const used = given === undefined || given === '' ? field.preset : given;
  if (used === undefined) {
    if ('optional' in field) return undefined;
    throw new InputFault(id, 'it is missing', `${field.title}: ${field.help}`);
  }
  if (field.kind === 'text') return used;
  if (field.kind === 'choice') {
    if (Object.hasOwn(field.options, used)) return used;
    throw new InputFault(id, `"${used}" is not offered`, `Choose ${Object.keys(field.options).join(', ')}.`);
  }
  return bounded(id, field, parseQuantity(id, field.kind, used, field.bareUnit));
}

function bounded(id: string, field: QuantityField, quantity: Measured): Measured {
  const { low = Number.NEGATIVE_INFINITY, high = Number.POSITIVE_INFINITY } = field;
  if (quantity.value >= low && quantity.value <= high) return quantity;
  const unit = canonicalUnit[field.kind];
  const say = (number: number): string => (unit === '' ? String(number) : `${number} ${unit}`);
  const side = quantity.value < low ? `below ${say(low)}, the least` : `above ${say(high)}, the most`;
  const value = Number(quantity.value.toPrecision(6));
  throw new InputFault(id, `${say(value)} is ${side} that is taken here`, 'Check the number and its unit.');
}
