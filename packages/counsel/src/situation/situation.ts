import type { Problem, Start } from '@brinewright/evidence';
import type { ReadingBody, Stamped, TankFacts } from '@brinewright/journal';
import { deedList, usualAlkalinity } from './deeds.ts';
import { type LateStretch, lateStretch } from './late.ts';
import { isNitrogen, type ReadingList, readingList } from './readings.ts';
import { salinityOf, surroundingsOf } from './surroundings.ts';

/** One tank at one instant: its facts turned into what the engine is asked, and back-references to the entries. */
export interface Situation {
  /** The facts reckoned with; those of its late stretch, where the tank is old and was long proven. */
  readonly facts: TankFacts;
  /** Epoch milliseconds of day 0: the opening, or where a late stretch begins. */
  readonly opened: number;
  /** Epoch milliseconds of the opening, however long ago. */
  readonly firstOpened: number;
  readonly asOf: number;
  readonly problem: Problem;
  /** The reading behind each observation. */
  readonly readings: readonly Stamped<ReadingBody>[];
  /** Which declared kit each instrument of the problem is; null for none. */
  readonly kits: readonly (string | null)[];
  /** Nothing was ever fed and no reading shows nitrogen being turned over. */
  readonly neverFed: boolean;
  readonly warnings: readonly string[];
}

export const dayMs = 86_400_000;
/** Spread of the logarithm of the litres where none are stated, or no error is. */
const unstatedVolumeSpread = 0.12;
const leastVolumeSpread = 0.02;
/** mg N/L an unfed tank must show of ammonia or nitrite, or of nitrate after its first day, to count as fed by itself. */
const shownLeast = { ammonia: 0.1, nitrite: 0.1, nitrate: 1 } as const;

/** A question that cannot be asked of this journal, with what would make it possible. */
export class SituationError extends Error {
  override readonly name = 'SituationError';
}

/**
 * What is known of a tank at an instant (epoch ms), as a problem for the engine.
 * @throws SituationError where the journal does not say when the tank was opened or has no entry by then.
 */
export function situationOf(all: TankFacts, asOf: number): Situation {
  const firstOpened = all.opened;
  if (firstOpened === undefined)
    throw new SituationError(
      'the journal has no entry for this tank by then: give a later instant, or another tank',
    );
  if (asOf < firstOpened)
    throw new SituationError(
      `the tank was opened on ${new Date(firstOpened).toISOString()}, after ${new Date(asOf).toISOString()}: give a later instant`,
    );
  const late = lateStretch(all, asOf);
  const { facts, from: opened } = late ?? { facts: all, from: firstOpened };
  const today = (asOf - opened) / dayMs;
  const start = late ? 'mature' : startOf(facts);
  // What the route says was done belongs to the opening, not to a late stretch.
  const acts = deedList(late ? { ...facts, route: undefined } : facts, start, today);
  const read = readingList(facts, today);
  const salinity = salinityOf(facts);
  const problem: Problem = {
    start,
    salinity,
    today,
    volumeSpread: volumeSpread(facts),
    alkalinity: {
      value: facts.alkalinityMeqL ?? usualAlkalinity(facts),
      sd: facts.alkalinityMeqL ? 0.15 : 0.4,
    },
    surroundings: surroundingsOf(facts, today),
    unsizedAnimals: startOf(facts) === 'animals' && facts.arrivals.length === 0,
    deeds: [...(late?.carried ?? []), ...acts.deeds.filter((deed) => deed.day <= today)],
    sources: acts.sources,
    instruments: read.instruments,
    observations: read.observations,
  };
  return {
    facts,
    opened,
    firstOpened,
    asOf,
    problem,
    readings: read.from,
    kits: read.kits,
    neverFed: late === undefined && !acts.fed && !showsNitrogen(read),
    warnings: [
      ...(late ? [lateWords(late, firstOpened, asOf, read.from.length)] : []),
      ...facts.doubts.map((doubt) => doubt.message),
      ...acts.warnings,
      ...read.warnings,
      ...unstated(facts),
    ],
  };
}

function lateWords({ from }: LateStretch, opened: number, asOf: number, readings: number): string {
  const [age, day] = [Math.floor((asOf - opened) / dayMs), new Date(from).toISOString().slice(0, 10)];
  return `the tank is ${age} days old and had long been proven by ${day}: only what happened since then is reckoned with (${readings} readings of nitrogen and alkalinity), from water like that of the last readings before; all that came earlier stands in the journal as facts`;
}

function startOf(facts: TankFacts): Start {
  const wet = facts.surfaces.some((surface) => surface.material === 'live-rock');
  switch (facts.route) {
    case 'mature-media':
      return 'mature';
    case 'animals':
    case 'animals+culture':
      return 'animals';
    case undefined:
      return wet ? 'mature' : 'unknown';
    default:
      return wet ? 'mature' : 'wild';
  }
}

function volumeSpread(facts: TankFacts): number {
  if (!facts.litres) return unstatedVolumeSpread;
  const share = facts.litres.sd / facts.litres.value;
  return share > 0 ? Math.max(leastVolumeSpread, share) : unstatedVolumeSpread;
}

function unstated(facts: TankFacts): string[] {
  const found: string[] = [];
  if (!facts.litres)
    found.push('the litres are not stated: amounts are per litre, and doses by mass are inferred');
  if (
    facts.temperatureC === undefined &&
    !facts.readings.some((reading) => reading.analyte === 'temperature')
  )
    found.push('no temperature is stated: 25 °C is assumed');
  if (!facts.readings.some((reading) => reading.analyte === 'pH') && facts.pH === undefined)
    found.push('no pH is stated: that of ordinary water is assumed');
  return found;
}

function showsNitrogen({ instruments, observations }: ReadingList): boolean {
  return observations.some(({ instrument, low, day, dilution }) => {
    const analyte = instruments[instrument]?.analyte;
    if (analyte === undefined || !isNitrogen(analyte)) return false;
    return low * dilution >= shownLeast[analyte] && (analyte !== 'nitrate' || day >= 1);
  });
}
