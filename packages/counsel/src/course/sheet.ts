import type { DoseBody, FoodBody, Stamped } from '@brinewright/journal';
import { type instrumentOf, isNitrogen, readingInterval } from '../situation/readings.ts';
import type { DrawnDeed, DrawnReading, Sheet } from './answer.ts';
import { courseOf } from './course.ts';
import { doubtWords, readingWords, surprises } from './doubts.ts';
import { ledgerOf } from './ledger.ts';
import type { Reckoning } from './reckon.ts';
import { sayCourse, type Wording } from './sentence.ts';

/** Everything a tank sheet shows, read off one reckoning. */
export function sheetOf(reckoning: Reckoning, wording: Wording = {}): Sheet {
  const course = courseOf(reckoning);
  return {
    course,
    ...sayCourse(reckoning, course, wording),
    readings: drawnReadings(reckoning),
    deeds: drawnDeeds(reckoning),
    ledger: ledgerOf(reckoning),
    doubts: doubtWords(reckoning, wording),
  };
}

function drawnReadings(reckoning: Reckoning): DrawnReading[] {
  const { readings, problem } = reckoning.situation;
  const found = surprises(reckoning);
  return readings.flatMap((reading, index): DrawnReading[] => {
    const instrument = problem.instruments[problem.observations[index]!.instrument]!;
    if (!isNitrogen(reading.analyte)) return [];
    const { low, high } = drawnInterval(readingInterval(reading, instrument), instrument);
    const dilution = reading.dilution ?? 1;
    return [
      {
        entry: reading.entry,
        at: new Date(reading.at).toISOString(),
        analyte: reading.analyte,
        low: Math.max(0, low * dilution),
        high: high === Infinity ? null : high * dilution,
        text: readingWords(reading),
        surprise: found[index]!.surprise,
      },
    ];
  });
}

/** A meter's number is drawn as wide as its error. */
function drawnInterval(
  interval: { low: number; high: number },
  instrument: NonNullable<ReturnType<typeof instrumentOf>>,
): { low: number; high: number } {
  if (instrument.form !== 'meter') return interval;
  const error = 1.645 * (instrument.floor + instrument.share * interval.low);
  return { low: interval.low - error, high: interval.high + error };
}

function drawnDeeds({ situation }: Reckoning): DrawnDeed[] {
  const { facts, firstOpened, asOf } = situation;
  const drawn = <T extends { entry: string; at: number }>(
    list: readonly T[],
    kind: DrawnDeed['kind'],
    text: (item: T) => string,
  ): DrawnDeed[] =>
    list.map((item) => ({ entry: item.entry, at: new Date(item.at).toISOString(), kind, text: text(item) }));
  const animals = (groups: readonly { class: string; count: number }[]): string =>
    groups.map((group) => `${group.count} ${group.class.replaceAll('_', ' ')}`).join(', ');
  const deeds: DrawnDeed[] = [
    { entry: '', at: new Date(firstOpened).toISOString(), kind: 'opened', text: 'opened' },
    ...drawn(facts.doses, 'dose', doseWords),
    ...drawn(facts.cultures, 'culture', (culture) => `culture added (${culture.source.replace('-', ' ')})`),
    ...drawn(facts.foods, 'food', foodWords),
    ...drawn(facts.exchanges, 'exchange', (exchange) => `water changed${exchangeWords(exchange)}`),
    ...drawn(facts.arrivals, 'arrival', (arrival) => `arrived: ${animals(arrival.animals)}`),
    ...drawn(facts.losses, 'loss', (loss) => `lost: ${animals(loss.animals)}`),
  ];
  return deeds
    .filter((deed) => Date.parse(deed.at) <= asOf)
    .sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
}

function exchangeWords({
  fraction,
  litres,
}: {
  fraction?: number | undefined;
  litres?: number | undefined;
}): string {
  if (fraction !== undefined) return `, ${Math.round(100 * fraction)} %`;
  return litres === undefined ? ', how much was not said' : `, ${litres} L`;
}

function foodWords({ what, grams }: Stamped<FoodBody>): string {
  return `${what.replace('-', ' ')} food${grams === undefined ? ', amount not said' : `, ${grams} g`}`;
}

/** A dose in plain words. */
export function doseWords(dose: DoseBody): string {
  const { substance, aim, nitrogenMg, grams, millilitres } = dose;
  const name = substance.replace('-', ' ');
  if (aim) {
    const unit = aim.analyte === 'alkalinity' ? 'meq/L' : `mg/L as ${aim.as ?? 'N'}`;
    return aim.to === undefined ? `${name}, to raise by ${aim.by} ${unit}` : `${name}, to ${aim.to} ${unit}`;
  }
  if (nitrogenMg !== undefined) return `${name}, ${nitrogenMg} mg of nitrogen`;
  if (grams !== undefined) return `${name}, ${grams} g`;
  if (millilitres !== undefined) return `${name}, ${millilitres} mL`;
  return `${name}, amount not said`;
}
