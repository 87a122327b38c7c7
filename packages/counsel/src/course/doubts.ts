import { type Posterior, type Surprise, surprisesOf } from '@brinewright/evidence';
import type { ReadingBody, Stamped } from '@brinewright/journal';
import { isNitrogen } from '../situation/readings.ts';
import type { Reckoning } from './reckon.ts';
import { dateWords, type Wording } from './sentence.ts';

/** Two-sided probability below which a reading is called unexplained. */
const unexplained = 0.05;

/** A reading's number as its author wrote it, with unit and ion. */
export function readingWords(reading: ReadingBody): string {
  const unit = isNitrogen(reading.analyte)
    ? ` mg/L as ${reading.as ?? '?'}`
    : (unitWords[reading.analyte] ?? '');
  const diluted = (reading.dilution ?? 1) > 1 ? `, diluted 1 in ${reading.dilution}` : '';
  return `${amountWords(reading)}${unit}${diluted}`;
}

const unitWords: Readonly<Record<string, string>> = {
  alkalinity: ' meq/L',
  temperature: ' °C',
  phosphate: ' mg/L',
  calcium: ' mg/L',
  magnesium: ' mg/L',
  oxygen: ' mg/L',
};

function amountWords({ value, between, over, under }: ReadingBody): string {
  if (between) return `between ${between[0]} and ${between[1]}`;
  if (over !== undefined) return `over ${over}`;
  return under === undefined ? String(value) : `under ${under}`;
}

/** The check runs hundreds of particles, and the chart, the doubts and the stall all ask for it: once a fit is enough. */
const checked = new WeakMap<Posterior, Surprise[]>();

/** How surprising each observation of a reckoning is, in the order of its readings. */
export function surprises({ posterior }: Reckoning): readonly Surprise[] {
  const found = checked.get(posterior) ?? surprisesOf(posterior);
  checked.set(posterior, found);
  return found;
}

/** What the fit could not explain, most surprising first. */
export function doubtWords(reckoning: Reckoning, wording: Wording = {}): string[] {
  const { readings } = reckoning.situation;
  return surprises(reckoning)
    .map((found, index) => ({ ...found, reading: readings[index]! }))
    .filter(({ surprise }) => surprise < unexplained)
    .sort((a, b) => a.surprise - b.surprise)
    .map(({ surprise, higher, reading }) => say(reading, surprise, higher, wording));
}

function say(reading: Stamped<ReadingBody>, surprise: number, higher: boolean, wording: Wording): string {
  const when = dateWords(new Date(reading.at).toISOString(), wording);
  const often = surprise < 0.005 ? 'fewer than 1 in 200' : `about 1 in ${Math.round(1 / surprise)}`;
  return `${when}: ${reading.analyte} ${readingWords(reading)} is ${higher ? 'higher' : 'lower'} than everything else suggests (${often} such readings)`;
}
