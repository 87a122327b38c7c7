import { type Field, InputFault, parseQuantity, type Tool, type Worked } from '@brinewright/counsel';
import type { TankFacts } from '@brinewright/journal';
import { mixingWords } from '../words/mixing.ts';
import { type Known, type KnownNumber, knownFor } from './known.ts';
import { fieldsThatMatter, mayBeLeftOut, nameOf } from './layout.ts';
import { type Asked, unitsOf, usualUnit } from './units.ts';
import { laidOut, refuseAmbiguous, textOf, type Written } from './written.ts';

/** What a person put into a tool's fields, by id; fields never touched are not in it. */
export type Draft = Readonly<Record<string, Written | string>>;

export interface Fault {
  readonly problem: string;
  readonly remedy: string;
}

/** One field as it stands: what its boxes show, the text that counts, and what is wrong with it. */
export interface FieldState {
  readonly id: string;
  readonly field: Field;
  /** What the field is called away from its place. */
  readonly name: string;
  /** What stands in the boxes. */
  readonly written: Written | string;
  /** What the tool reads; empty where nothing is written. */
  readonly text: string;
  readonly touched: boolean;
  /** The number the tank's journal has for it. */
  readonly known: KnownNumber | undefined;
  readonly missing: boolean;
  readonly fault: Fault | undefined;
}

/** A tool filled in, as far as it is. */
export interface Sheet {
  readonly tool: Tool;
  readonly fields: readonly FieldState[];
  readonly answer: Worked | undefined;
  /** What is wrong, but with no field in particular. */
  readonly fault: Fault | undefined;
}

export interface Circumstances {
  readonly tank: TankFacts | undefined;
  readonly known: Known;
}

/** Reads a draft: every field by itself first, then all of them by the tool. */
export function sheetOf(tool: Tool, draft: Draft, circumstances: Circumstances): Sheet {
  const ids = Object.keys(tool.fields);
  const all = ids.map((id) => stateOf(tool, id, draft, circumstances));
  const choices = Object.fromEntries(all.map(({ id, text }) => [id, text]));
  const mattering = fieldsThatMatter(tool, choices);
  const fields = all.filter(({ id }) => mattering.includes(id));
  const nothing = { tool, fields, answer: undefined, fault: undefined };
  if (fields.some(({ missing, fault }) => missing || fault !== undefined)) return nothing;
  try {
    return { ...nothing, answer: tool.answer(textsOf(fields)) };
  } catch (error) {
    if (!(error instanceof InputFault)) throw error;
    const { field: at, problem, remedy } = error;
    if (!mattering.includes(at)) return { ...nothing, fault: { problem: `${at}: ${problem}`, remedy } };
    return {
      ...nothing,
      fields: fields.map((each) => (each.id === at ? { ...each, fault: { problem, remedy } } : each)),
    };
  }
}

/** The texts of the fields that say something, by id. */
export const textsOf = (fields: readonly FieldState[]): Record<string, string> =>
  Object.fromEntries(fields.filter(({ text }) => text !== '').map(({ id, text }) => [id, text]));

function stateOf(tool: Tool, id: string, draft: Draft, { tank, known }: Circumstances): FieldState {
  const field = tool.fields[id]!;
  const ofTank = knownFor(tool.id, id, known);
  const own = draft[id];
  const start = ofTank?.text ?? startOf(tool, id, draft);
  const asked = askedOf(tool, id);
  const { written, text } = asked === undefined ? plainly(own, start) : measured(asked, own, start, tank);
  const common = {
    id,
    field,
    name: nameOf(tool, id),
    written,
    text,
    touched: own !== undefined,
    known: ofTank,
  };
  const missing = text === '' && field.preset === undefined && !mayBeLeftOut(field);
  return { ...common, missing, fault: asked === undefined ? undefined : faultOf(asked, written, text) };
}

/** A field as one that takes a number, if it does. */
export function askedOf(tool: Tool, id: string): Asked | undefined {
  const field = tool.fields[id]!;
  return field.kind === 'text' || field.kind === 'choice' ? undefined : { tool, id, field };
}

/** What a field starts with: its preset, but a zero is left to be typed over. */
function startOf(tool: Tool, id: string, draft: Draft): string {
  const preset = tool.fields[id]!.preset ?? '';
  if (id === 'dissolved') return dissolvedIn(draft.strength) ?? preset;
  return preset === '0' ? '' : preset;
}

/** A strength that names a substance says what is dissolved. */
function dissolvedIn(strength: Draft[string] | undefined): string | undefined {
  if (strength === undefined) return 'NH3';
  const said = typeof strength === 'string' ? strength : `${strength.number} ${strength.unit}`;
  return /NH4Cl|NH3/.exec(said)?.[0];
}

function plainly(own: Draft[string] | undefined, start: string): { written: string; text: string } {
  const text = typeof own === 'string' ? own : start;
  return { written: text, text: text.trim() };
}

function measured(
  asked: Asked,
  own: Draft[string] | undefined,
  start: string,
  tank: TankFacts | undefined,
): { written: Written; text: string } {
  const usual = usualUnit(asked, tank);
  if (own !== undefined && typeof own !== 'string') {
    const unit = unitsOf(asked).find(({ key }) => key === own.unit) ?? usual;
    return { written: own, text: textOf(own, unit) };
  }
  const empty = { number: '', error: '', unit: usual.key };
  // What was never touched is reckoned with as it was written, not as it is shown.
  return { written: start === '' ? empty : laidOut(asked, start, usual), text: start };
}

function faultOf({ id, field }: Asked, written: Written | string, text: string): Fault | undefined {
  if (text === '') return undefined;
  try {
    if (typeof written !== 'string') refuseAmbiguous(id, written);
    parseQuantity(id, field.kind, text, field.bareUnit);
    return undefined;
  } catch (error) {
    if (error instanceof InputFault) return { problem: error.problem, remedy: error.remedy };
    throw error;
  }
}

/** A fault as a sentence and what to do about it. */
export const sayFault = ({ problem, remedy }: Fault): string => mixingWords.fault(problem, remedy);
