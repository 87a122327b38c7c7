/**
 * Scores the forecast against records of real start-ups: `npm run score -- [--write] FILE|FOLDER...`. Each record is fitted to
 * the first half of its nitrogen readings, up to the median reading; what the keeper did later is known, what they
 * read later is hidden and then predicted. A well calibrated forecast holds half of the hidden readings in its 50 %
 * interval and nine in ten in its 90 % interval; cards with few steps push both upwards.
 *
 * `ready` is the date from which ammonia and nitrite were read at zero until the record ends, in a record that showed
 * both before; the error is the predicted median less that date, in days.
 */
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import {
  courseOf,
  type Nutrient,
  predict,
  type Reckoning,
  reckon,
  SituationError,
} from '@brinewright/counsel';
import { ended } from '@brinewright/evidence';
import {
  asNitrogen,
  type Entry,
  foldTank,
  fromNitrogen,
  instantMs,
  type KitBody,
  type NitrogenBasis,
  parseJournal,
  type ReadingBody,
  type Stamped,
  type TankFacts,
  type TankId,
} from '@brinewright/journal';
import { table, writeSection } from './calibration/page.ts';

const dayMs = 86_400_000;
const nutrients: readonly string[] = ['ammonia', 'nitrite', 'nitrate'] satisfies Nutrient[];
const usualRecords = fileURLToPath(new URL('../packages/evidence/test/records', import.meta.url));

type Reading = Stamped<ReadingBody>;

/** How one record fared. */
export interface Score {
  readonly record: string;
  /** Days from the opening to the last reading that was known. */
  readonly daysKnown: number;
  /** Hidden readings that were predicted, and those that could not be: no kit is described for them. */
  readonly predicted: number;
  readonly passedOver: number;
  readonly inside50: number;
  readonly inside90: number;
  /** Days; null where the record never shows when it was ready, or was ready in the half that was known. */
  readonly readyError: number | null;
  /** True where the record shows when it was ready and the forecast put that past its horizon. */
  readonly readyMissed: boolean;
}

/** The interval of shown values a reading stands for, in the ion of its kit. */
export function shownInterval(reading: ReadingBody, kit: KitBody): [low: number, high: number] {
  const convert = (value: number): number => {
    const [from, to] = [reading.as, kit.as];
    if (from === undefined || to === undefined || from === to) return value;
    return fromNitrogen(asNitrogen(value, from as NitrogenBasis), to as NitrogenBasis);
  };
  const { value, between, over, under } = reading;
  if (value !== undefined) return [convert(value), convert(value)];
  if (between) return [convert(between[0]), convert(between[1])];
  if (over !== undefined) return [convert(over), Number.POSITIVE_INFINITY];
  return [Number.NEGATIVE_INFINITY, convert(under ?? 0)];
}

/** Instant in the middle of a sorted list of readings: up to it a record is known. */
const halfWay = (readings: readonly Reading[]): number =>
  readings[Math.floor((readings.length - 1) / 2)]?.at ?? 0;

const isZero = ({ value, under }: ReadingBody): boolean => value === 0 || under !== undefined;

/**
 * When a record became ready: the later of the first ammonia and the first nitrite reading from which on all are zero.
 * Undefined where either still shows something at the end, or where nothing was ever seen to be turned over.
 */
export function readyInRecord(readings: readonly Reading[]): number | undefined {
  const first = ['ammonia', 'nitrite'].map((analyte) => {
    const own = readings.filter((reading) => reading.analyte === analyte);
    const last = own.findLastIndex((reading) => !isZero(reading));
    return last < 0 ? undefined : own[last + 1]?.at;
  });
  const [ammonia, nitrite] = first;
  return ammonia === undefined || nitrite === undefined ? undefined : Math.max(ammonia, nitrite);
}

/** Scores one tank's record; undefined where it holds too few readings to be halved. */
export function scoreRecord(
  record: string,
  tank: TankId,
  entries: readonly Entry[],
  seed: number,
): Score | undefined {
  const whole = foldTank(entries, tank);
  const readings = whole.readings.filter(({ analyte }) => nutrients.includes(analyte));
  const cut = halfWay(readings);
  const hidden = readings.filter(({ at }) => at > cut);
  if (hidden.length === 0 || whole.opened === undefined) return undefined;
  const known = entries.filter(({ kind, at }) => kind !== 'reading' || (instantMs(at) ?? 0) <= cut);
  const facts = foldTank(known, tank);
  const end = Math.max(...readings.map(({ at }) => at));
  const reckoning = ended(reckon(facts, { asOf: end, seed }));
  const outcomes = hidden.flatMap((reading) => outcomeOf(reading, facts, reckoning) ?? []);
  const ready = readyInRecord(readings);
  const counts = ready !== undefined && ready > cut;
  const { p50 } = courseOf(reckoning).ready;
  return {
    record,
    daysKnown: Math.round((cut - whole.opened) / dayMs),
    predicted: outcomes.length,
    passedOver: hidden.length - outcomes.length,
    inside50: outcomes.filter(({ inside50 }) => inside50).length,
    inside90: outcomes.filter(({ inside90 }) => inside90).length,
    readyError: counts && p50 !== null ? Math.round(((Date.parse(p50) - ready) / dayMs) * 10) / 10 : null,
    readyMissed: counts && p50 === null,
  };
}

/** Whether a hidden reading fell inside the predicted intervals; undefined where its kit is not described. */
function outcomeOf(
  reading: Reading,
  facts: TankFacts,
  reckoning: Reckoning,
): { inside50: boolean; inside90: boolean } | undefined {
  const kit = facts.kits.get(reading.kit ?? '');
  if (!kit) return undefined;
  const { at, analyte, dilution = 1 } = reading;
  const { quantiles } = predict(reckoning, { at, analyte, kit: kit.kit, dilution });
  const [low, high] = shownInterval(reading, kit);
  // A millionth of slack: quantiles are rounded, the numbers of a card are not.
  const meets = (from: number, to: number): boolean => low <= to + 1e-6 && high >= from - 1e-6;
  return {
    inside50: meets(quantiles['0.25'], quantiles['0.75']),
    inside90: meets(quantiles['0.05'], quantiles['0.95']),
  };
}

/** Journal files among the paths given; a folder stands for those in it. */
function journalFiles(paths: readonly string[]): string[] {
  return paths.flatMap((path) => {
    if (!existsSync(path)) throw new Error(`${path} is neither a journal file nor a folder of them.`);
    if (!statSync(path).isDirectory()) return [path];
    const names = readdirSync(path).filter((name) => name.endsWith('.ndjson'));
    return names.sort().map((name) => join(path, name));
  });
}

function* scoreFiles(files: readonly string[], seed: number): Generator<Score> {
  for (const file of files) {
    const { entries } = parseJournal(readFileSync(file, 'utf8'));
    const tanks = [...new Set(entries.map(({ tank }) => tank))];
    for (const [index, tank] of tanks.entries()) {
      const name = basename(file, '.ndjson') + (tanks.length > 1 ? ` (${index + 1})` : '');
      try {
        const score = scoreRecord(name, tank, entries, seed);
        if (score) yield score;
        else console.error(`${name}: passed over, it has too few nitrogen readings to be halved`);
      } catch (error) {
        if (!(error instanceof SituationError)) throw error;
        console.error(`${name}: passed over, ${error.message}`);
      }
    }
  }
}

const share = (part: number, whole: number): string =>
  whole === 0 ? '–' : `${Math.round((part / whole) * 100)} %`;

export interface Totals {
  readonly predicted: number;
  readonly inside50: number;
  readonly inside90: number;
  /** Median size of the ready error, days; null where no record knows it. */
  readonly readyError: number | null;
  readonly readyKnown: number;
}

export function totalsOf(scores: readonly Score[]): Totals {
  const sum = (pick: (score: Score) => number): number =>
    scores.reduce((total, score) => total + pick(score), 0);
  const errors = scores.flatMap(({ readyError }) => (readyError === null ? [] : Math.abs(readyError)));
  // A date put past the horizon is as wrong as can be: it counts in the median, at the far end.
  const missed = scores.filter(({ readyMissed }) => readyMissed).map(() => Number.POSITIVE_INFINITY);
  const sorted = [...errors, ...missed].sort((a, b) => a - b);
  const middle = sorted[Math.floor((sorted.length - 1) / 2)];
  return {
    predicted: sum((score) => score.predicted),
    inside50: sum((score) => score.inside50),
    inside90: sum((score) => score.inside90),
    readyError: middle === undefined || middle === Number.POSITIVE_INFINITY ? null : middle,
    readyKnown: sorted.length,
  };
}

const columns = [36, 11, 10, 10, 10, 14];
const row = (...cells: readonly string[]): string =>
  cells
    .map((cell, index) => (index === 0 ? cell.padEnd(columns[0] ?? 0) : cell.padStart(columns[index] ?? 0)))
    .join('');

const rowOf = (score: Score): string =>
  row(
    score.record,
    String(score.daysKnown),
    String(score.predicted),
    share(score.inside50, score.predicted),
    share(score.inside90, score.predicted),
    score.readyMissed ? 'past horizon' : score.readyError === null ? '–' : `${score.readyError} d`,
  );

function main(): void {
  const { values, positionals } = parseArgs({
    allowPositionals: true,
    options: {
      json: { type: 'boolean' },
      seed: { type: 'string', default: '1' },
      write: { type: 'boolean' },
    },
  });
  const files = journalFiles(positionals.length > 0 ? positionals : [usualRecords]);
  const scores: Score[] = [];
  if (!values.json)
    console.log(row('record', 'days known', 'predicted', 'in 50 %', 'in 90 %', 'ready error'));
  for (const score of scoreFiles(files, Number(values.seed))) {
    scores.push(score);
    if (!values.json) console.log(rowOf(score));
  }
  const totals = totalsOf(scores);
  if (values.json) {
    console.log(JSON.stringify({ records: scores, totals }));
    return;
  }
  const { predicted, inside50, inside90, readyError, readyKnown } = totals;
  const error = readyError === null ? '–' : `${readyError} d`;
  console.log(
    row('all', '', String(predicted), share(inside50, predicted), share(inside90, predicted), error),
  );
  const known = readyKnown === 1 ? 'One record shows' : `${readyKnown} records show`;
  console.log(
    `\n${known} when it was ready within the hidden half; the last figure is the median size of the error.`,
  );
  if (values.write) writeSection('records', markdownOf(scores, totals));
}

/** The table as docs/science/calibration.md shows it. */
function markdownOf(scores: readonly Score[], { predicted, inside50, inside90 }: Totals): string {
  const cells = (score: Score): (string | number)[] => [
    score.record,
    score.daysKnown,
    score.predicted,
    share(score.inside50, score.predicted),
    share(score.inside90, score.predicted),
    score.readyMissed ? 'past horizon' : (score.readyError ?? '–'),
  ];
  return table(
    ['record', 'days known', 'readings foretold', 'in 50 %', 'in 90 %', 'ready error, d'],
    [
      ...scores.map(cells),
      ['all', '', predicted, share(inside50, predicted), share(inside90, predicted), ''],
    ],
  );
}

if (process.argv[1]?.endsWith('score.ts')) {
  try {
    main();
  } catch (error) {
    console.error(error instanceof Error ? error.message : String(error));
    process.exitCode = 1;
  }
}
