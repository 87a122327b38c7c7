import type { BodyOf, ReadingBody } from '@brinewright/journal';
import { Answers, DEEDS, type Values } from '../bench/deeds.ts';
import { NO_PICK, type Pick } from '../bench/draft.ts';
import { Fault } from '../bench/fault.ts';
import type { BenchKit } from '../bench/reading.ts';
import type { AmendKind } from '../entries/amendable.ts';
import type { Print } from '../format/print.ts';

/** What was done, as against what was read. */
export type DeedAmendKind = Exclude<AmendKind, 'reading'>;

/** What must have been filled in on a form for its body to say this; undefined where the form cannot say it. */
export function valuesOf(
  kind: DeedAmendKind,
  body: Readonly<Record<string, unknown>>,
  print: Print,
): Values | undefined {
  const filled = FILLED[kind](body as never, print);
  return filled && Object.fromEntries(Object.entries(filled).map(([key, value]) => [key, written(value)]));
}

type Filled = Readonly<Record<string, string | number | undefined>>;
type Fillers = { readonly [K in DeedAmendKind]: (body: BodyOf<K>, print: Print) => Filled | undefined };

const written = (value: string | number | undefined): string => (value === undefined ? '' : String(value));
const shown = (value: number | undefined, convert: (canonical: number) => number) =>
  value === undefined ? undefined : Number(convert(value).toPrecision(6));

const animals = ({ animals: groups }: BodyOf<'arrival'>): Filled | undefined => {
  const [group] = groups;
  return groups.length !== 1 || group === undefined
    ? undefined
    : { class: group.class, count: group.count, length: group.lengthCm };
};

const FILLED: Fillers = {
  dose: ({ substance, aim, nitrogenMg, grams, millilitres, strength }) => {
    if (aim !== undefined && (aim.analyte !== 'ammonia' || aim.as !== 'N' || aim.to === undefined))
      return undefined;
    const amountAs =
      nitrogenMg !== undefined
        ? 'nitrogenMg'
        : grams !== undefined
          ? 'grams'
          : millilitres !== undefined
            ? 'millilitres'
            : 'aim';
    return {
      substance,
      amountAs,
      aim: aim?.to,
      nitrogenMg,
      grams,
      millilitres,
      strength: strength?.mgNPerMl,
    };
  },
  food: ({ what, grams }) => ({ what, grams }),
  exchange: ({ litres, fraction, salinity, temperatureC, nitrateMgL }, print) => ({
    sizeAs: fraction === undefined ? 'litres' : 'fraction',
    litres: shown(litres, print.volume.toShown),
    share: shown(fraction, (f) => 100 * f),
    salinity,
    temperature: shown(temperatureC, print.temperature.toShown),
    nitrateMgL,
  }),
  topoff: ({ litres }, print) => ({ litres: shown(litres, print.volume.toShown) }),
  culture: ({ source, litresTreated, note }, print) => ({
    source,
    litresTreated: shown(litresTreated, print.volume.toShown),
    note,
  }),
  arrival: animals,
  loss: animals,
  posture: ({ item, state }) => ({ item, state }),
  note: ({ text }) => ({ text }),
};

/** The body a form makes of what is filled in. @throws Fault where something is missing or is not a number */
export function bodyFrom(kind: DeedAmendKind, values: Values, print: Print): object {
  const form = DEEDS.find((deed) => deed.kind === kind);
  return form === undefined ? {} : form.body(new Answers(form.fields, values), print);
}

/** As `bodyFrom`; an entry that left open what the form asks for says nothing. */
export function bodyBefore(kind: DeedAmendKind, values: Values, print: Print): object {
  try {
    return bodyFrom(kind, values, print);
  } catch (error) {
    if (error instanceof Fault) return {};
    throw error;
  }
}

/** The row a reading was made on, and what was chosen there; a number that is on no step of the card was typed. */
export function rowOf(
  body: ReadingBody,
  declared: BenchKit | undefined,
  print: Print,
): { readonly kit: BenchKit; readonly pick: Pick } | undefined {
  const kit = declared ?? { kit: body.kit, analyte: body.analyte, as: body.as };
  const pick = { ...NO_PICK, dilution: String(body.dilution ?? 1) };
  const steps = kit.steps && stepsOf(body, kit.steps);
  if (steps !== undefined) return { kit, pick: { ...pick, ...steps } };
  const { value, over, under } = body;
  const read = value ?? over ?? under;
  if (read === undefined) return undefined;
  const form = value !== undefined ? 'value' : over !== undefined ? 'over' : 'under';
  const typed = String(body.analyte === 'temperature' ? shown(read, print.temperature.toShown) : read);
  return { kit: { ...kit, steps: undefined }, pick: { ...pick, form, typed } };
}

function stepsOf(body: ReadingBody, steps: readonly number[]): Partial<Pick> | undefined {
  if (body.over !== undefined) return body.over === steps.at(-1) ? { beyond: 'over' } : undefined;
  if (body.under !== undefined) return body.under === steps[0] ? { beyond: 'under' } : undefined;
  const chosen = (body.between ?? [body.value]).map((level) => steps.indexOf(level ?? Number.NaN));
  return chosen.includes(-1) ? undefined : { steps: chosen };
}
