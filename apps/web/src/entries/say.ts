import type { Entry, EntryOf, KnownEntry } from '@brinewright/journal';
import { isKnown } from '@brinewright/journal';
import type { Print } from '../format/print.ts';
import { words } from '../words/index.ts';
import { sayNitrogenFree, sayReading } from './say-reading.ts';

/** One plain sentence for any entry, also for kinds this version does not know. */
export function sayEntry(entry: Entry, print: Print): string {
  return isKnown(entry) ? sayKnown(entry, print) : words.entry.unknown(entry.kind);
}

function sayKnown(entry: KnownEntry, print: Print): string {
  switch (entry.kind) {
    case 'tank':
      return sayTank(entry.body, print);
    case 'kit':
      return words.entry.kit(
        words.analyte[entry.body.analyte].toLowerCase(),
        entry.body.steps?.map(print.numbers.plain).join(' '),
      );
    case 'reading':
      return sayReading(entry.body, print.numbers, print.temperature);
    case 'dose':
      return words.entry.dose(words.substance[entry.body.substance], sayAmount(entry.body, print));
    case 'culture':
      return withNote(
        words.entry.culture(
          words.source[entry.body.source],
          maybe(entry.body.litresTreated, print.volume.say),
        ),
        entry.body.note,
      );
    case 'food':
      return words.entry.food(
        words.foods[entry.body.what],
        maybe(entry.body.grams, (g) => inUnit(g, 'g', print)),
      );
    case 'exchange':
      return words.entry.exchange(sayExchanged(entry.body, print), sayNewWater(entry.body, print));
    case 'topoff':
      return words.entry.topoff(print.volume.say(entry.body.litres));
    case 'arrival':
      return words.entry.arrival(sayAnimals(entry.body, print));
    case 'loss':
      return words.entry.loss(sayAnimals(entry.body, print));
    case 'posture':
      return words.entry.posture(words.items[entry.body.item], entry.body.state);
    case 'note':
      return entry.body.text;
    case 'amend':
      return words.entry.amend(sayFields(entry.body.body));
    case 'strike':
      return words.entry.strike(entry.body.why);
  }
}

function sayTank(body: EntryOf<'tank'>['body'], print: Print): string {
  const { numbers } = print;
  const of = words.entry.parts;
  const parts = [
    maybe(body.name, of.named),
    maybe(body.litres, (l) => of.litres(sayLitres(l, print))),
    maybe(body.salinity, (s) => of.salinity(numbers.plain(s))),
    maybe(body.temperatureC, (t) => of.temperature(print.temperature.say(t))),
    maybe(body.pH, (p) => of.pH(numbers.plain(p))),
    maybe(body.alkalinityMeqL, (a) => of.alkalinity(numbers.plain(a))),
    maybe(body.surfaces, (s) =>
      of.surfaces(words.list(s.map(({ material }) => words.entry.materials[material]))),
    ),
    maybe(body.route, (r) => words.routes[r].name.toLowerCase()),
  ].filter((part) => part !== undefined);
  const head = body.opened === undefined ? words.entry.described : words.entry.opened;
  return parts.length === 0 ? head : `${head}: ${parts.join(', ')}`;
}

/** "212 ± 11 L": the figure with its error, both in the reader's unit. */
export function sayLitres(litres: { value: number; sd?: number | undefined }, print: Print): string {
  const { sd } = litres;
  if (sd === undefined || sd === 0) return print.volume.say(litres.value);
  const shown = (value: number) => print.numbers.plain(print.volume.toShown(value));
  return `${shown(litres.value)} ± ${print.numbers.plain(Number(print.volume.toShown(sd).toPrecision(2)))}\u00a0${print.volume.unit}`;
}

function sayAmount(body: EntryOf<'dose'>['body'], print: Print): string | undefined {
  if (body.nitrogenMg !== undefined)
    return inUnit(body.nitrogenMg, words.unitsOf.milligramsOfNitrogen, print);
  if (body.grams !== undefined) return inUnit(body.grams, words.unitsOf.grams, print);
  if (body.millilitres !== undefined) return inUnit(body.millilitres, words.unitsOf.millilitres, print);
  if (body.aim === undefined) return undefined;
  const { analyte, as, to, by } = body.aim;
  const level = [print.numbers.plain(to ?? by ?? 0), 'mg/L', maybe(as, (ion) => words.asIon(words.ion[ion]))]
    .filter((part) => part !== undefined)
    .join(' ');
  const name = words.analyte[analyte].toLowerCase();
  return to === undefined ? words.entry.aimBy(name, level) : words.entry.aimTo(name, level);
}

function sayExchanged(body: EntryOf<'exchange'>['body'], print: Print): string | undefined {
  if (body.litres !== undefined) return print.volume.say(body.litres);
  return maybe(body.fraction, (f) => `${print.numbers.plain(100 * f)} %`);
}

function sayNewWater(body: EntryOf<'exchange'>['body'], print: Print): string {
  const of = words.entry.parts;
  return [
    maybe(body.salinity, (s) => of.salinity(print.numbers.plain(s))),
    maybe(body.temperatureC, (t) => of.temperature(print.temperature.say(t))),
    maybe(body.alkalinityMeqL, (a) => of.alkalinity(print.numbers.plain(a))),
    maybe(body.nitrateMgL, (n) => sayNitrogenFree(n, print.numbers)),
  ]
    .filter((part) => part !== undefined)
    .join(', ');
}

function sayAnimals(body: EntryOf<'arrival'>['body'], print: Print): string {
  return words.list(
    body.animals.map((a) =>
      words.entry.animals(
        a.count,
        words.animal[a.class] ?? a.class.replaceAll('_', ' '),
        maybe(a.lengthCm, (cm) => inUnit(cm, words.unitsOf.centimetres, print)),
      ),
    ),
  );
}

const sayFields = (fields: Readonly<Record<string, unknown>>) =>
  Object.entries(fields)
    .map(([field, value]) => `${field} ${typeof value === 'object' ? JSON.stringify(value) : String(value)}`)
    .join(', ');

const withNote = (said: string, note: string | undefined) => (note ? `${said} (${note})` : said);
const inUnit = (value: number, unit: string, print: Print) => `${print.numbers.plain(value)} ${unit}`;

function maybe<T, R>(value: T | undefined, say: (value: T) => R): R | undefined {
  return value === undefined ? undefined : say(value);
}
