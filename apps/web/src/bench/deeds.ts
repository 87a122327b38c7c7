import type { Kind } from '@brinewright/journal';
import { readNumber } from '../format/numbers.ts';
import type { Print } from '../format/print.ts';
import { words } from '../words/index.ts';
import { Fault } from './fault.ts';

/** One place to write on a form about something done. */
export interface DeedField {
  readonly key: string;
  readonly label: string;
  readonly hint?: string;
  readonly type: 'number' | 'choice' | 'text' | 'lines';
  readonly options?: readonly (readonly [string, string])[];
  readonly unit?: (print: Print) => string;
  readonly optional?: boolean;
  readonly wide?: boolean;
  /** Shown only where what is chosen elsewhere on the form asks for it. */
  readonly when?: (values: Values) => boolean;
}

export type Values = Readonly<Record<string, string>>;

export interface DeedForm {
  readonly kind: Kind;
  readonly fields: readonly DeedField[];
  /** @throws Fault where something is missing or is not a number */
  readonly body: (answers: Answers, print: Print) => object;
}

/** A form's answers, read with a fault that names the field. Fields that are not shown count as empty. */
export class Answers {
  readonly #values: Values;
  readonly #fields: readonly DeedField[];

  constructor(fields: readonly DeedField[], values: Values) {
    this.#fields = fields;
    this.#values = values;
  }

  text(key: string): string | undefined {
    const field = this.#fields.find((f) => f.key === key);
    if (field === undefined || field.when?.(this.#values) === false) return undefined;
    const value = (this.#values[key] ?? field.options?.[0]?.[0] ?? '').trim();
    if (value !== '') return value;
    if (field.optional === true) return undefined;
    throw new Fault(words.bench.missing(field.label));
  }

  number(key: string): number | undefined {
    const text = this.text(key);
    const value = text === undefined ? undefined : readNumber(text);
    if (Number.isNaN(value))
      throw new Fault(words.bench.notNumber(this.#fields.find((f) => f.key === key)?.label ?? key));
    return value;
  }
}

const of = words.bench.field;
const pairs = (names: Readonly<Record<string, string>>) => Object.entries(names);
const grams = () => words.unitsOf.grams;
const volume = (print: Print) => print.volume.unit;

/** Leaves out what is not known. */
const known = (fields: Readonly<Record<string, unknown>>) =>
  Object.fromEntries(Object.entries(fields).filter(([, value]) => value !== undefined));

const converted = (value: number | undefined, convert: (shown: number) => number) =>
  value === undefined ? undefined : Number(convert(value).toPrecision(6));

const amountIs = (form: string) => (values: Values) => (values.amountAs ?? 'aim') === form;
const isNitrogenSource = (values: Values) =>
  ['ammonium-chloride', 'ammonia-solution'].includes(values.substance ?? 'ammonium-chloride');

const dose: DeedForm = {
  kind: 'dose',
  fields: [
    { key: 'substance', label: of.substance, type: 'choice', options: pairs(words.substance) },
    { key: 'amountAs', label: of.amountAs, type: 'choice', options: pairs(words.bench.amounts) },
    {
      key: 'aim',
      label: of.aimTo,
      type: 'number',
      unit: () => `${words.unitsOf.milligrams} ${words.asIon(words.ion.N)}`,
      when: (values) => amountIs('aim')(values),
    },
    {
      key: 'nitrogenMg',
      label: of.nitrogenMg,
      type: 'number',
      unit: () => words.unitsOf.milligramsOfNitrogen,
      when: amountIs('nitrogenMg'),
    },
    { key: 'grams', label: of.grams, type: 'number', unit: grams, when: amountIs('grams') },
    {
      key: 'millilitres',
      label: of.millilitres,
      type: 'number',
      unit: () => words.unitsOf.millilitres,
      when: amountIs('millilitres'),
    },
    {
      key: 'strength',
      label: of.strength,
      hint: of.strengthHint,
      type: 'number',
      optional: true,
      when: (values) => amountIs('millilitres')(values) && isNitrogenSource(values),
    },
  ],
  body: (answers) => {
    const aim = answers.number('aim');
    const strength = answers.number('strength');
    return known({
      substance: answers.text('substance'),
      aim: aim === undefined ? undefined : { analyte: 'ammonia', as: 'N', to: aim },
      nitrogenMg: answers.number('nitrogenMg'),
      grams: answers.number('grams'),
      millilitres: answers.number('millilitres'),
      strength: strength === undefined ? undefined : { mgNPerMl: strength },
    });
  },
};

const culture: DeedForm = {
  kind: 'culture',
  fields: [
    { key: 'source', label: of.source, type: 'choice', options: pairs(words.source) },
    { key: 'litresTreated', label: of.litresTreated, type: 'number', unit: volume, optional: true },
    { key: 'note', label: of.note, type: 'text', optional: true, wide: true },
  ],
  body: (answers, print) =>
    known({
      source: answers.text('source'),
      litresTreated: converted(answers.number('litresTreated'), print.volume.fromShown),
      note: answers.text('note'),
    }),
};

const food: DeedForm = {
  kind: 'food',
  fields: [
    { key: 'what', label: of.what, type: 'choice', options: pairs(words.foods) },
    { key: 'grams', label: of.grams, type: 'number', unit: grams, optional: true },
  ],
  body: (answers) => known({ what: answers.text('what'), grams: answers.number('grams') }),
};

const sizeIs = (form: string) => (values: Values) => (values.sizeAs ?? 'litres') === form;

const exchange: DeedForm = {
  kind: 'exchange',
  fields: [
    { key: 'sizeAs', label: of.exchangeAs, type: 'choice', options: pairs(words.bench.exchanges) },
    { key: 'litres', label: of.litres, type: 'number', unit: volume, when: sizeIs('litres') },
    {
      key: 'share',
      label: of.share,
      type: 'number',
      unit: () => words.unitsOf.percent,
      when: sizeIs('fraction'),
    },
    { key: 'salinity', label: of.newSalinity, type: 'number', optional: true },
    {
      key: 'temperature',
      label: of.newTemperature,
      type: 'number',
      unit: (print) => print.temperature.unit,
      optional: true,
    },
    {
      key: 'nitrateMgL',
      label: of.newNitrate,
      type: 'number',
      unit: () => words.unitsOf.milligrams,
      optional: true,
    },
  ],
  body: (answers, print) => {
    const share = answers.number('share');
    return known({
      litres: converted(answers.number('litres'), print.volume.fromShown),
      fraction: share === undefined ? undefined : share / 100,
      salinity: answers.number('salinity'),
      temperatureC: converted(answers.number('temperature'), print.temperature.fromShown),
      nitrateMgL: answers.number('nitrateMgL'),
    });
  },
};

const topoff: DeedForm = {
  kind: 'topoff',
  fields: [{ key: 'litres', label: of.litres, type: 'number', unit: volume }],
  body: (answers, print) => known({ litres: converted(answers.number('litres'), print.volume.fromShown) }),
};

const animalFields: readonly DeedField[] = [
  { key: 'class', label: of.animal, type: 'choice', options: pairs(words.animal) },
  { key: 'count', label: of.count, type: 'number' },
  { key: 'length', label: of.length, type: 'number', unit: () => words.unitsOf.centimetres, optional: true },
];

const animalBody = (answers: Answers) => ({
  animals: [
    known({
      class: answers.text('class'),
      count: answers.number('count'),
      lengthCm: answers.number('length'),
    }),
  ],
});

const posture: DeedForm = {
  kind: 'posture',
  fields: [
    { key: 'item', label: of.item, type: 'choice', options: pairs(words.items) },
    {
      key: 'state',
      label: of.state,
      type: 'choice',
      options: [
        ['on', of.on],
        ['off', of.off],
      ],
    },
  ],
  body: (answers) => known({ item: answers.text('item'), state: answers.text('state') }),
};

const note: DeedForm = {
  kind: 'note',
  fields: [{ key: 'text', label: of.text, type: 'lines', wide: true }],
  body: (answers) => known({ text: answers.text('text') }),
};

/** Everything that can be done to a tank, in the order of how often it is. */
export const DEEDS = [
  dose,
  food,
  exchange,
  topoff,
  culture,
  { kind: 'arrival', fields: animalFields, body: animalBody },
  { kind: 'loss', fields: animalFields, body: animalBody },
  posture,
  note,
] as const satisfies readonly DeedForm[];

export type DeedKind = (typeof DEEDS)[number]['kind'];
