import type { KitBody, ReadingBody } from '@brinewright/journal';
import { asNitrogen } from '@brinewright/journal';
import { sayRead, unitOf } from '../entries/say-reading.ts';
import { readNumber } from '../format/numbers.ts';
import type { Print } from '../format/print.ts';
import { words } from '../words/index.ts';
import type { Pick as RowPick } from './draft.ts';
import { Fault } from './fault.ts';

/** A kit on the bench; without an id it is a plain number that needs no kit, such as a temperature. */
export type BenchKit = Readonly<Pick<KitBody, 'analyte' | 'as' | 'steps' | 'resolution'>> & {
  readonly kit: string | undefined;
};

/**
 * What a row says, as the body of a reading; undefined where nothing is chosen.
 * @throws Fault where something was typed that is not a number
 */
export function readingOf(kit: BenchKit, pick: RowPick, print: Print): ReadingBody | undefined {
  const read = readFrom(kit, pick, print);
  if (read === undefined) return undefined;
  const dilution = numberOr(pick.dilution, words.bench.dilution) ?? 1;
  return {
    analyte: kit.analyte,
    ...(kit.as === undefined ? {} : { as: kit.as }),
    ...read,
    ...(kit.kit === undefined ? {} : { kit: kit.kit }),
    ...(dilution === 1 ? {} : { dilution }),
  };
}

/** The same while it is being typed: undefined as well where it is not a number yet. */
export function readingOrNone(kit: BenchKit, pick: RowPick, print: Print): ReadingBody | undefined {
  try {
    return readingOf(kit, pick, print);
  } catch (error) {
    if (error instanceof Fault) return undefined;
    throw error;
  }
}

type Read = Partial<Pick<ReadingBody, 'value' | 'between' | 'over' | 'under'>>;

function readFrom({ analyte, steps }: BenchKit, pick: RowPick, print: Print): Read | undefined {
  if (steps === undefined) {
    const typed = numberOr(pick.typed, words.analyte[analyte]);
    if (typed === undefined) return undefined;
    const canonical = analyte === 'temperature' ? round(print.temperature.fromShown(typed)) : typed;
    return { [pick.form]: canonical };
  }
  if (pick.beyond === 'over') return { over: steps[steps.length - 1] };
  if (pick.beyond === 'under') return { under: steps[0] };
  const [low, high] = pick.steps.map((i) => steps[i]).filter((v) => v !== undefined);
  if (low === undefined) return undefined;
  return high === undefined ? { value: low } : { between: [low, high] };
}

function numberOr(typed: string, label: string): number | undefined {
  const value = readNumber(typed);
  if (Number.isNaN(value)) throw new Fault(words.bench.notNumber(label));
  return value;
}

/** A converted temperature keeps the digits that were typed and no dust from the arithmetic. */
const round = (celsius: number) => Math.round(celsius * 1000) / 1000;

/** What the water then holds: "5 mg/L as NO₂, 1.5 mg/L as N"; undefined where the row already says it. */
export function meaningOf(body: ReadingBody, print: Print): string | undefined {
  const dilution = body.dilution ?? 1;
  const foreign = body.as !== undefined && body.as !== 'N';
  if (dilution === 1 && !foreign) return undefined;
  const said = (factor: (v: number) => number) => sayRead(scaled(body, factor), print.numbers.level);
  const own = [said((v) => v * dilution), unitOf(body.analyte), body.as && words.asIon(words.ion[body.as])]
    .filter(Boolean)
    .join(' ');
  if (!foreign || body.as === undefined) return own;
  const { as } = body;
  return words.bench.both(
    own,
    said((v) => asNitrogen(v * dilution, as)),
  );
}

function scaled(body: ReadingBody, factor: (value: number) => number): Read {
  if (body.between !== undefined) return { between: [factor(body.between[0]), factor(body.between[1])] };
  if (body.over !== undefined) return { over: factor(body.over) };
  if (body.under !== undefined) return { under: factor(body.under) };
  return { value: factor(body.value ?? Number.NaN) };
}
