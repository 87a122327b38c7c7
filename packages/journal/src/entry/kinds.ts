/**
 * The kinds of entry a journal holds: one schema each, from which the types, the validation and the published
 * JSON Schema all follow. Units are fixed: litres, grams, mg/L, °C, practical salinity, meq/L, days.
 * Fields we do not know are kept; the schemas only look at the ones they name.
 */
import * as z from 'zod/mini';
import { chemistry } from './chemistry.ts';
import {
  type EntryId,
  entryId,
  fraction,
  instant,
  oneFormOf,
  positive,
  quantity,
  schemaNotes,
  type TankId,
  tankId,
} from './primitives.ts';
import {
  ANALYTES,
  CULTURE_SOURCES,
  FOODS,
  MATERIALS,
  NITROGEN_BASES,
  POSTURE_ITEMS,
  ROUTES,
  SUBSTANCES,
} from './terms.ts';

export * from './terms.ts';
export type { EntryId, TankId };

const analyte = z.enum(ANALYTES).register(schemaNotes, { id: 'Analyte' });
const basis = z.enum(NITROGEN_BASES).register(schemaNotes, { id: 'NitrogenBasis' });
const text = z.string();
const name = z.string().check(z.minLength(1));

const temperatureC = quantity('°C', -2, 45);
const salinity = quantity('practical salinity', 0, 120);
const pH = quantity('pH', 0, 14);
const alkalinityMeqL = quantity('meq/L', 0, 100);

export const surface = z
  .object({
    material: z.enum(MATERIALS),
    kg: z.optional(quantity('kg', 0)),
    litres: z.optional(quantity('L', 0)),
    m2: z.optional(quantity('m²', 0)),
  })
  .register(schemaNotes, { id: 'Surface' });
export type Surface = z.infer<typeof surface>;

export const tankBody = z
  .object({
    name: z.optional(text),
    litres: z.optional(z.object({ value: positive('L, net'), sd: z.optional(quantity('L', 0)) })),
    temperatureC: z.optional(temperatureC),
    salinity: z.optional(salinity),
    pH: z.optional(pH),
    alkalinityMeqL: z.optional(alkalinityMeqL),
    surfaces: z.optional(z.array(surface)),
    route: z.optional(z.enum(ROUTES)),
    opened: z.optional(instant),
  })
  .register(schemaNotes, { id: 'TankBody', description: 'Later entries overwrite field by field.' });
export type TankBody = z.infer<typeof tankBody>;

export const kitBody = z
  .object({
    kit: name,
    analyte,
    as: z.optional(basis),
    steps: z.optional(z.array(z.number()).check(z.minLength(2), ascending())),
    resolution: z.optional(positive('unit of the analyte')),
    note: z.optional(text),
  })
  .check(chemistry.check)
  .register(schemaNotes, { id: 'KitBody', ...chemistry.rule });
export type KitBody = z.infer<typeof kitBody>;

/** The forms a number can be read in; they exclude one another. */
export const READING_FORMS = ['value', 'between', 'over', 'under'] as const;
const readingForm = oneFormOf(READING_FORMS, 'exactly one');

export const readingBody = z
  .object({
    analyte,
    as: z.optional(basis),
    value: z.optional(z.number()),
    between: z.optional(z.tuple([z.number(), z.number()]).check(lowFirst())),
    over: z.optional(z.number()),
    under: z.optional(z.number()),
    kit: z.optional(name),
    dilution: z.optional(quantity('1 is undiluted; the number is as read, before multiplying', 1)),
  })
  .check(readingForm.check, chemistry.check)
  .register(schemaNotes, { id: 'ReadingBody', ...readingForm.rule, ...chemistry.rule });
export type ReadingBody = z.infer<typeof readingBody>;

const aimForm = oneFormOf(['to', 'by'], 'exactly one');
const aim = z
  .object({
    analyte,
    as: z.optional(basis),
    to: z.optional(quantity('level to reach', 0)),
    by: z.optional(quantity('rise', 0)),
  })
  .check(aimForm.check, chemistry.check)
  .register(schemaNotes, { id: 'Aim', ...aimForm.rule, ...chemistry.rule });

const strengthForm = oneFormOf(['mgNPerMl', 'meqPerMl'], 'exactly one');
const strength = z
  .object({ mgNPerMl: z.optional(positive('mg N/mL')), meqPerMl: z.optional(positive('meq/mL')) })
  .check(strengthForm.check)
  .register(schemaNotes, { id: 'Strength', ...strengthForm.rule });

/** The forms an amount can be given in; they exclude one another. None of them: the size has to be inferred. */
export const DOSE_FORMS = ['nitrogenMg', 'aim', 'grams', 'millilitres'] as const;
const doseForm = oneFormOf(DOSE_FORMS, 'at most one');

export const doseBody = z
  .object({
    substance: z.enum(SUBSTANCES),
    nitrogenMg: z.optional(quantity('mg N', 0)),
    aim: z.optional(aim),
    grams: z.optional(quantity('g', 0)),
    millilitres: z.optional(quantity('mL', 0)),
    strength: z.optional(strength),
  })
  .check(doseForm.check)
  .register(schemaNotes, { id: 'DoseBody', ...doseForm.rule });
export type DoseBody = z.infer<typeof doseBody>;

export const cultureBody = z
  .object({
    source: z.enum(CULTURE_SOURCES),
    litresTreated: z.optional(positive('L')),
    note: z.optional(text),
  })
  .register(schemaNotes, { id: 'CultureBody' });
export type CultureBody = z.infer<typeof cultureBody>;

export const foodBody = z
  .object({
    grams: z.optional(quantity('g', 0)),
    what: z.enum(FOODS),
    protein: z.optional(fraction('protein of the dry mass')),
    dry: z.optional(fraction('dry mass of the whole')),
  })
  .register(schemaNotes, { id: 'FoodBody' });
export type FoodBody = z.infer<typeof foodBody>;

export const EXCHANGE_FORMS = ['litres', 'fraction'] as const;
const exchangeForm = oneFormOf(EXCHANGE_FORMS, 'at most one');

export const exchangeBody = z
  .object({
    litres: z.optional(quantity('L', 0)),
    fraction: z.optional(fraction('of the water')),
    salinity: z.optional(salinity),
    temperatureC: z.optional(temperatureC),
    alkalinityMeqL: z.optional(alkalinityMeqL),
    nitrateMgL: z.optional(quantity('mg/L, counted as `nitrateAs` says', 0)),
    nitrateAs: z.optional(
      z.enum(['N', 'NO3']).register(schemaNotes, { description: 'Ion of `nitrateMgL`; NO3 where absent.' }),
    ),
  })
  .check(exchangeForm.check)
  .register(schemaNotes, { id: 'ExchangeBody', ...exchangeForm.rule });
export type ExchangeBody = z.infer<typeof exchangeBody>;

export const topoffBody = z.object({ litres: quantity('L', 0) }).register(schemaNotes, { id: 'TopoffBody' });
export type TopoffBody = z.infer<typeof topoffBody>;

const animals = z
  .object({
    class: name,
    count: z.int().check(z.gte(0)),
    lengthCm: z.optional(positive('cm, total length')),
    massG: z.optional(positive('g, wet')),
  })
  .register(schemaNotes, { id: 'Animals' });
export type Animals = z.infer<typeof animals>;

export const arrivalBody = z
  .object({ animals: z.array(animals).check(z.minLength(1)) })
  .register(schemaNotes, { id: 'ArrivalBody' });
export type ArrivalBody = z.infer<typeof arrivalBody>;

export const lossBody = z
  .object({ animals: z.array(animals).check(z.minLength(1)) })
  .register(schemaNotes, { id: 'LossBody' });
export type LossBody = z.infer<typeof lossBody>;

export const postureBody = z
  .object({ item: z.enum(POSTURE_ITEMS), state: z.enum(['on', 'off']) })
  .register(schemaNotes, { id: 'PostureBody' });
export type PostureBody = z.infer<typeof postureBody>;

export const noteBody = z.object({ text }).register(schemaNotes, { id: 'NoteBody' });
export type NoteBody = z.infer<typeof noteBody>;

export const amendBody = z
  .object({
    of: entryId,
    body: z.record(z.string(), z.unknown()),
    at: z.optional(instant),
  })
  .register(schemaNotes, {
    id: 'AmendBody',
    description:
      'Fields of `body` replace those of the entry; null takes a field away. `at` replaces when it happened.',
  });
export type AmendBody = z.infer<typeof amendBody>;

export const strikeBody = z
  .object({ of: entryId, why: z.optional(text) })
  .register(schemaNotes, { id: 'StrikeBody' });
export type StrikeBody = z.infer<typeof strikeBody>;

/** Every kind this version knows, with the schema of its body. */
export const bodySchemas = {
  tank: tankBody,
  kit: kitBody,
  reading: readingBody,
  dose: doseBody,
  culture: cultureBody,
  food: foodBody,
  exchange: exchangeBody,
  topoff: topoffBody,
  arrival: arrivalBody,
  loss: lossBody,
  posture: postureBody,
  note: noteBody,
  amend: amendBody,
  strike: strikeBody,
} as const;

export type Kind = keyof typeof bodySchemas;
export type BodyOf<K extends Kind> = z.infer<(typeof bodySchemas)[K]>;

export const KINDS = Object.keys(bodySchemas) as readonly Kind[];

/** What every entry carries, whatever its kind. */
export const envelope = z.object({
  id: entryId,
  tank: tankId,
  at: instant,
  recorded: z.optional(instant),
  by: z.optional(name),
  kind: name,
  body: z.record(z.string(), z.unknown()),
});

/** A whole entry of a kind: one reading of the data judges envelope and body. */
const entryOf = (kind: Kind) => z.extend(envelope, { kind: z.literal(kind), body: bodySchemas[kind] });

export const entrySchemas = Object.fromEntries(KINDS.map((kind) => [kind, entryOf(kind)])) as Readonly<
  Record<Kind, ReturnType<typeof entryOf>>
>;

interface Envelope {
  readonly id: EntryId;
  readonly tank: TankId;
  /** RFC 3339: when it happened. */
  readonly at: string;
  /** RFC 3339: when it was written down; `at` where absent. */
  readonly recorded?: string | undefined;
  readonly by?: string | undefined;
}

export type EntryOf<K extends Kind> = Envelope & { readonly kind: K; readonly body: Readonly<BodyOf<K>> };

/** An entry of a kind this version knows; `kind` tells the body's type. */
export type KnownEntry = { [K in Kind]: EntryOf<K> }[Kind];

/** An entry of a kind from a later version: kept whole and passed through. */
export type UnknownEntry = Envelope & {
  readonly kind: string;
  readonly body: Readonly<Record<string, unknown>>;
};

export type Entry = KnownEntry | UnknownEntry;

/** Ask this before switching on `kind`. */
export const isKnown = (entry: Entry): entry is KnownEntry => Object.hasOwn(bodySchemas, entry.kind);

function ascending() {
  return z.check<number[]>((context) => {
    const index = context.value.findIndex((step, i) => i > 0 && step <= (context.value[i - 1] as number));
    if (index < 0) return;
    context.issues.push({
      code: 'custom',
      input: context.value,
      path: [index],
      message: `steps must rise; ${context.value[index]} follows ${context.value[index - 1]}`,
      params: { code: 'order', remedy: 'Write the numbers of the card in rising order, each once.' },
    });
  });
}

function lowFirst() {
  return z.check<[number, number]>((context) => {
    const [low, high] = context.value;
    if (low <= high) return;
    context.issues.push({
      code: 'custom',
      input: context.value,
      path: [],
      message: `the lower number comes first; found ${low} before ${high}`,
      params: { code: 'order', remedy: `Write [${high}, ${low}].` },
    });
  });
}
