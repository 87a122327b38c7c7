import { suppose } from '@brinewright/evidence';
import { type Bearings, instantOf } from '../orders/bearings.ts';
import { chanceOf, rowOf, valuesOf } from '../orders/particles.ts';
import { dayMs } from '../situation/situation.ts';
import { signsOf } from '../welfare/signs.ts';
import { chanceOfCarrying } from './load.ts';

/** One dose that was a test of the tank: what it was and how sure the tank passed. */
export interface Run {
  /** Days since the opening. */
  readonly day: number;
  readonly mgNPerLitre: number;
  readonly state: 'running' | 'unread' | 'diluted' | 'passed' | 'failed' | 'doubtful';
  /** Probability that ammonia was below 0.1 mg N/L after a day and nitrite after two. */
  readonly chance: number;
}

export type ProofState = 'none' | 'running' | 'once' | 'proven' | 'lapsed';

/** What has been proven of a tank, and until when it holds. */
export interface Proof {
  readonly state: ProofState;
  readonly runs: readonly Run[];
  /** Probability that the last runs were passes. */
  readonly chance: number;
  /** mg N/L that was shown to be cleared in a day. */
  readonly clearedMgNPerLitre: number;
  /** True where three probable runs stand for two sure ones. */
  readonly byThree: boolean;
  /** RFC 3339; when the proof lapses, or lapsed. */
  readonly until: string | undefined;
  /** Why it no longer holds. */
  readonly lapsedBy: { readonly fact: string; readonly entry?: string } | undefined;
  /** Day of the last input of nitrogen. */
  readonly lastFed: number | undefined;
}

/** Both must be below this, mg N/L. */
const passLevel = 0.1;
const passChance = 0.9;
/** What the first of two runs has to reach, seen from after the second. */
const likelyChance = 0.75;
/**
 * Where the card cannot tell, three runs in a row that were each probably passed do as well, if the tank almost surely
 * carries the load it is meant for; then half as many animals come first.
 */
const probableChance = 0.6;
const carriesChance = 0.95;
/** Below this a dose is food, not a test. */
const leastRun = 0.4;
const clearBefore = 0.25;
const holdsFedDays = 14;
const holdsUnfedDays = 3;
/** A little over the two to three days between feeds that keep a filter awake. */
const feedGapDays = 3.5;
const binderDays = 3;

export function proofOf(bearings: Bearings): Proof {
  const { today } = bearings;
  const voided = voiding(bearings);
  const runs = runsOf(bearings).filter(({ day }) => day > (voided?.day ?? -1));
  const judged = runs.filter(({ state }) => state !== 'running');
  const lastFed = fedDays(bearings).at(-1);
  const common = { runs, lastFed, lapsedBy: undefined, until: undefined, byThree: false };
  const [before, last] = judged.slice(-2).length === 2 ? judged.slice(-2) : [undefined, judged.at(-1)];
  const running = runs.at(-1)?.state === 'running';
  const byTwo = before !== undefined && last?.state === 'passed' && isLikely(before);
  const byThree = !byTwo && probablyProven(bearings, judged.slice(-3));
  if (before && last && (byTwo || byThree)) {
    const passed = last.day + 1;
    const lapse = lapseDay(bearings, passed);
    const chance = byTwo
      ? before.chance * last.chance
      : Math.min(...judged.slice(-3).map((run) => run.chance));
    const clearedMgNPerLitre = Math.min(before.mgNPerLitre, last.mgNPerLitre);
    const until = instantOf(bearings, lapse);
    if (lapse >= today) return { ...common, byThree, state: 'proven', chance, clearedMgNPerLitre, until };
    const fact =
      lapse < passed + holdsFedDays
        ? 'the tank was left unfed for more than three days since it was proven'
        : 'the proof is older than two weeks';
    return {
      ...common,
      state: running ? 'running' : 'lapsed',
      chance,
      clearedMgNPerLitre,
      until,
      lapsedBy: { fact },
    };
  }
  const once = last !== undefined && isLikely(last) && today - last.day < holdsFedDays;
  const state: ProofState = running
    ? 'running'
    : once
      ? 'once'
      : voided && hadRuns(bearings)
        ? 'lapsed'
        : 'none';
  return {
    ...common,
    state,
    chance: once ? last.chance : 0,
    clearedMgNPerLitre: once ? last.mgNPerLitre : 0,
    lapsedBy: state === 'lapsed' ? voided : undefined,
  };
}

const isLikely = ({ state, chance }: Run): boolean =>
  state === 'passed' || (state === 'doubtful' && chance >= likelyChance);

const probablyProven = (bearings: Bearings, runs: readonly Run[]): boolean =>
  runs.length === 3 &&
  runs.every(
    ({ state, chance }) => state === 'passed' || (state === 'doubtful' && chance >= probableChance),
  ) &&
  chanceOfCarrying(bearings) >= carriesChance;

const hadRuns = (bearings: Bearings): boolean => runsOf(bearings).some(({ state }) => state === 'passed');

/** What happened last that voids any earlier proof (MNT-25). */
function voiding({ facts, asOf, situation }: Bearings) {
  const sign = signsOf(facts, asOf, Infinity).findLast(({ sign }) =>
    ['power-cut', 'moved', 'medicine', 'media-removed'].includes(sign),
  );
  return (
    sign && {
      day: (sign.at - situation.opened) / dayMs,
      fact: `a note says: “${sign.text}”; after that a filter has to be proven again`,
      entry: sign.entry,
    }
  );
}

/** Days on which nitrogen was put in. */
const fedDays = ({ situation }: Bearings): number[] =>
  situation.problem.deeds
    .filter(({ kind }) => kind === 'ammonia' || kind === 'organic')
    .map(({ day }) => day)
    .sort((a, b) => a - b);

/** The day a proof ends: two weeks on, or three days after the feeding that was followed by none. */
function lapseDay(bearings: Bearings, passed: number): number {
  let fed = passed;
  for (const day of fedDays(bearings)) {
    if (day <= fed) continue;
    if (day - fed > feedGapDays) break;
    fed = day;
  }
  return Math.min(passed + holdsFedDays, fed + holdsUnfedDays);
}

/** Doses into clear water that were large enough to test it, in order. */
function runsOf(bearings: Bearings): Run[] {
  const { situation, reckoning, today, animals } = bearings;
  if (animals.present) return [];
  const doses = dosesOf(bearings).filter(({ mgNPerLitre }) => mgNPerLitre >= leastRun);
  if (doses.length === 0) return [];
  const days = [...new Set(doses.flatMap(({ day }) => [Math.max(0, day - 0.01), day + 1, day + 2]))].sort(
    (a, b) => a - b,
  );
  const water = suppose(reckoning.posterior, { days });
  const row = (values: Float64Array, day: number): Float64Array =>
    rowOf(values, days.indexOf(day), water.particles);
  return doses.flatMap(({ day, mgNPerLitre }): Run[] => {
    const before = Math.max(0, day - 0.01);
    const clear =
      chanceOf(row(water.ammonia, before), (value) => value < clearBefore) >= 0.5 &&
      chanceOf(row(water.nitrite, before), (value) => value < clearBefore) >= 0.5;
    // The very first dose goes into water nobody has turned over yet.
    if (!clear || day < 1) return [];
    const nitrite = row(water.nitrite, day + 2);
    const chance = chanceOf(
      row(water.ammonia, day + 1),
      (value, i) => value < passLevel && nitrite[i]! < passLevel,
    );
    return [{ day, mgNPerLitre, chance, state: stateOf(bearings, day, chance) }];
  });

  function stateOf({ facts }: Bearings, day: number, chance: number): Run['state'] {
    const readBetween = (analyte: string, from: number, to: number): boolean =>
      facts.readings.some(
        (reading) =>
          reading.analyte === analyte &&
          (reading.at - situation.opened) / dayMs >= day + from &&
          (reading.at - situation.opened) / dayMs <= day + to,
      );
    const read = readBetween('ammonia', 0.7, 2.6) && readBetween('nitrite', 0.7, 2.6);
    if (!read) return today < day + 2.6 ? 'running' : 'unread';
    const diluted = situation.problem.deeds.some(
      (deed) => deed.kind === 'exchange' && deed.day > day && deed.day < day + 2,
    );
    const bound = facts.doses.some(
      ({ substance, at }) =>
        substance === 'binder' && Math.abs((at - situation.opened) / dayMs - day) < binderDays,
    );
    if (diluted || bound) return 'diluted';
    if (chance >= passChance) return 'passed';
    const readTwice = readBetween('nitrite', 1.6, 2.6);
    if (!readTwice && today < day + 2.6 && chance > 0.3) return 'running';
    return chance < 0.5 ? 'failed' : 'doubtful';
  }
}

/** Ammonia doses with the rise they brought, mg N/L; parts poured within two hours count as one. */
function dosesOf({ situation, reckoning }: Bearings): { day: number; mgNPerLitre: number }[] {
  const found: { day: number; mgNPerLitre: number }[] = [];
  const middle = (values: Float64Array): number => values.slice().sort()[values.length >> 1]!;
  for (const deed of situation.problem.deeds) {
    if (deed.kind !== 'ammonia') continue;
    const { size } = deed;
    const strength =
      size.form === 'units' ? valuesOf(reckoning.posterior, `source:${size.source}`) : undefined;
    const amount = size.form === 'known' ? size.amount : size.units * (strength ? middle(strength) : 0);
    const last = found.at(-1);
    if (last && deed.day - last.day < 2 / 24) last.mgNPerLitre += amount;
    else found.push({ day: deed.day, mgNPerLitre: amount });
  }
  return found;
}
