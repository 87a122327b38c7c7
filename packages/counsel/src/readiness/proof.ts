import { type Deed, type Posterior, suppose } from '@brinewright/evidence';
import { type Bearings, instantOf } from '../orders/bearings.ts';
import { chanceOf, rowOf, valuesOf } from '../orders/particles.ts';
import { dayMs } from '../situation/situation.ts';
import { signsOf } from '../welfare/signs.ts';
import { challengeSize, chanceOfPassing, passLevel } from './load.ts';
import { sureEnough } from './weighing.ts';

/** One dose that was a test of the tank: what it was and how sure the tank passed. */
interface Run {
  /** Days since the opening. */
  readonly day: number;
  readonly mgNPerLitre: number;
  /** Well above the planned animals' challenge. */
  readonly large: boolean;
  readonly state: 'running' | 'unread' | 'diluted' | 'passed' | 'failed' | 'doubtful';
  /** Probability that ammonia was below 0.1 mg N/L after a day and nitrite after two. */
  readonly chance: number;
  /** What has to be read before it is judged. */
  readonly wants: readonly Look[];
}

/** A reading that judges a run, and how long after the dose it is due. */
interface Look {
  readonly analyte: 'ammonia' | 'nitrite';
  readonly afterHours: 24 | 48;
}

type ProofState = 'none' | 'running' | 'once' | 'proven' | 'lapsed';

/** What has been proven of a tank, and until when it holds. */
export interface Proof {
  readonly state: ProofState;
  readonly runs: readonly Run[];
  /** Probability that the tank carries the challenge of the planned animals, as it was left by the last run. */
  readonly chance: number;
  /** Runs in a row, up to the last, that were passed rather than not. */
  readonly passedInARow: number;
  /** mg N/L that was shown to be cleared in a day. */
  readonly clearedMgNPerLitre: number;
  /** RFC 3339; when the proof lapses, or lapsed. */
  readonly until: string | undefined;
  /** Why it no longer holds. */
  readonly lapsedBy: { readonly fact: string; readonly entry?: string } | undefined;
  /** Day of the last input of nitrogen. */
  readonly lastFed: number | undefined;
}

const passChance = 0.9;
/** Runs in a row that have to have been passed, each rather than not. */
const leastPassed = 2;
const likelyChance = 0.6;
/** A dose less likely than this to be gone in time is food, and not read as a test. */
const hopeful = 0.25;
const hopefulIfLarge = 0.6;
const muchMore = 1.3;
/**
 * Ammonia this surely gone after a day is not read: nitrite, which is made of it, tells as much. Nor is nitrite this surely
 * gone after two, where ammonia is read and nitrite was in the days before.
 */
const sureToBeGone = 0.95;
const nitriteSeenDays = 4;
/** Nitrite is looked at once more after two days where it was likelier than this still there after one, or only then. */
const lingersIfOver = 0.3;
const onlyThenIfOver = 0.6;
/** A run that by its first day was rather failed than not is not looked at again. */
const openChance = 0.4;
/** Below this a dose is food, not a test. */
const leastRun = 0.45;
const clearBefore = 0.25;
const holdsFedDays = 14;
const holdsUnfedDays = 3;
/** A little over the two to three days between feeds that keep a filter awake. */
const feedGapDays = 3.5;
const binderDays = 3;
/** Days. */
const justBefore = 0.01;
/** Days after a dose between which a reading judges it, and from which it is a second look. */
const firstLookDays = 0.7;
const secondLookDays = 1.6;
const lastLookDays = 2.6;
/** Parts poured within two hours are one dose. */
const oneDoseDays = 2 / 24;
/** A proof takes two runs; a third may be running, a fourth was food and not read. */
const runsLookedAt = 4;

/**
 * Two runs in a row that were passed rather than not are a proof once the doubt that is left costs less than another run
 * (weighing.ts); a feeding of the bacteria that was read like a run counts as one.
 */
export function proofOf(bearings: Bearings): Proof {
  const { today } = bearings;
  const voided = voiding(bearings);
  const runs = runsOf(bearings).filter(({ day }) => day > (voided?.day ?? -1));
  const judged = runs.filter(isJudged);
  const lastFed = fedDays(bearings).at(-1);
  const last = judged.at(-1);
  const passedInARow = judged.length - 1 - judged.findLastIndex((run) => !isLikely(run));
  const common = { runs, passedInARow, lastFed, lapsedBy: undefined, until: undefined };
  const running = runs.at(-1)?.state === 'running';
  const chance = last && isLikely(last) ? chanceAfter(bearings, last) : 0;
  if (last && passedInARow >= leastPassed && sureEnough(chance)) {
    const passed = last.day + 1;
    const lapse = lapseDay(bearings, passed);
    const clearedMgNPerLitre = Math.min(...judged.slice(-passedInARow).map(({ mgNPerLitre }) => mgNPerLitre));
    const until = instantOf(bearings, lapse);
    if (lapse >= today) return { ...common, state: 'proven', chance, clearedMgNPerLitre, until };
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
    chance: once ? chance : 0,
    clearedMgNPerLitre: once ? last.mgNPerLitre : 0,
    lapsedBy: state === 'lapsed' ? voided : undefined,
  };
}

/** A dose well above the planned challenge is food first: passed it proves the more, not passed it proves nothing. */
export const isJudged = ({ state, large }: Run): boolean =>
  state === 'passed' || (!large && state !== 'running' && state !== 'unread');

const isLikely = ({ state, chance }: Run): boolean =>
  state === 'passed' || (state === 'doubtful' && chance >= likelyChance);

/** Probability that the planned animals' challenge, poured a day after a run, is passed. */
function chanceAfter(bearings: Bearings, run: Run): number {
  const posterior = withoutLater(bearings, run.day);
  return chanceOfPassing(posterior, run.day + 1, challengeSize(bearings).mgNPerLitre);
}

const hadRuns = (bearings: Bearings): boolean =>
  dosesOf(bearings).some(({ mgNPerLitre, day }) => mgNPerLitre >= leastRun && day >= 1);

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

/** The last doses into clear water that were large enough to test it, in order. */
function runsOf(bearings: Bearings): Run[] {
  if (bearings.animals.present) return [];
  // The very first dose goes into water nobody has turned over yet.
  const doses = dosesOf(bearings).filter(({ mgNPerLitre, day }) => mgNPerLitre >= leastRun && day >= 1);
  return doses.slice(-runsLookedAt).flatMap((dose) => runOf(bearings, dose) ?? []);
}

interface Dose {
  readonly day: number;
  readonly mgNPerLitre: number;
}

function runOf(bearings: Bearings, { day, mgNPerLitre }: Dose): Run | undefined {
  const { ammonia, nitrite, particles } = suppose(withoutLater(bearings, day), {
    days: [Math.max(0, day - justBefore), day + 1, day + 2],
  });
  const levels = (values: Float64Array, row: number): Float64Array => rowOf(values, row, particles);
  const clear = [ammonia, nitrite].every(
    (values) => chanceOf(levels(values, 0), (value) => value < clearBefore) >= 0.5,
  );
  if (!clear) return undefined;
  const [ammoniaAfterOne, nitriteAfterOne, nitriteAfterTwo] = [
    levels(ammonia, 1),
    levels(nitrite, 1),
    levels(nitrite, 2),
  ];
  const seen: Seen = {
    day,
    chance: chanceOf(ammoniaAfterOne, (value, i) => value < passLevel && nitriteAfterTwo[i]! < passLevel),
    ammoniaGone: chanceOf(ammoniaAfterOne, (value) => value < passLevel),
    lingers: chanceOf(nitriteAfterOne, (value) => value >= passLevel),
    nitriteGone: chanceOf(nitriteAfterTwo, (value) => value < passLevel),
  };
  const large = mgNPerLitre > muchMore * challengeSize(bearings).mgNPerLitre;
  const wants = wantedOf(bearings, seen);
  const state = stateOf(bearings, seen, wants, large ? hopefulIfLarge : hopeful);
  return { day, mgNPerLitre, large, chance: seen.chance, state, wants };
}

interface Seen {
  readonly day: number;
  readonly chance: number;
  /** Probability that ammonia was gone after a day, that nitrite was still there after one, and gone after two. */
  readonly ammoniaGone: number;
  readonly lingers: number;
  readonly nitriteGone: number;
}

/** Whether something was read so many days after a dose. */
function readAfter({ facts, situation }: Bearings, analyte: string, from: number, to: number): boolean {
  return facts.readings.some(
    (reading) =>
      reading.analyte === analyte &&
      (reading.at - situation.opened) / dayMs >= from &&
      (reading.at - situation.opened) / dayMs <= to,
  );
}

/** The readings that are still to judge a run: as few as leave no doubt that another would settle. */
function wantedOf(bearings: Bearings, seen: Seen): Look[] {
  const { day, chance, ammoniaGone, lingers } = seen;
  const read = (analyte: string, from: number): boolean =>
    readAfter(bearings, analyte, day + from, day + lastLookDays);
  const wants: Look[] = [];
  if (ammoniaGone < sureToBeGone && !read('ammonia', firstLookDays))
    wants.push({ analyte: 'ammonia', afterHours: 24 });
  if (nitriteSpared(bearings, seen) && (wants.length > 0 || read('ammonia', firstLookDays))) return wants;
  if (!read('nitrite', firstLookDays))
    wants.push({ analyte: 'nitrite', afterHours: lingers > onlyThenIfOver ? 48 : 24 });
  else if (
    lingers > lingersIfOver &&
    chance >= openChance &&
    chance < passChance &&
    !read('nitrite', secondLookDays)
  )
    wants.push({ analyte: 'nitrite', afterHours: 48 });
  return wants;
}

/** Nitrite that was read lately, and is surely gone two days after a dose, need not judge it too. */
const nitriteSpared = (bearings: Bearings, { day, nitriteGone }: Seen): boolean =>
  nitriteGone >= sureToBeGone && readAfter(bearings, 'nitrite', day - nitriteSeenDays, day + firstLookDays);

function stateOf(
  bearings: Bearings,
  { day, chance }: Seen,
  wants: readonly Look[],
  least: number,
): Run['state'] {
  const { facts, situation, today } = bearings;
  const open = today < day + lastLookDays;
  const read = readAfter(bearings, 'nitrite', day + firstLookDays, day + lastLookDays);
  if (wants.length > 0 && open && chance >= (read ? openChance : least)) return 'running';
  if (wants.some(({ analyte }) => analyte === 'ammonia' || !read)) return 'unread';
  const judgedBy = Math.min(day + 2, lastLook(bearings, day));
  const diluted = situation.problem.deeds.some(
    (deed) => deed.kind === 'exchange' && deed.day > day && deed.day < judgedBy,
  );
  const bound = facts.doses.some(
    ({ substance, at }) =>
      substance === 'binder' && Math.abs((at - situation.opened) / dayMs - day) < binderDays,
  );
  if (diluted || bound) return 'diluted';
  if (chance >= passChance) return 'passed';
  return chance < 0.5 ? 'failed' : 'doubtful';
}

/** Day of the last reading that judged a run: what was changed after it spoils nothing. */
function lastLook({ facts, situation }: Bearings, from: number): number {
  const days = facts.readings
    .filter(({ analyte }) => analyte === 'ammonia' || analyte === 'nitrite')
    .map(({ at }) => (at - situation.opened) / dayMs)
    .filter((at) => at >= from + firstLookDays && at <= from + lastLookDays);
  return Math.max(...days);
}

/** Particles of the same tank had nothing been poured after a dose: the next challenge says nothing of the one before it. */
function withoutLater({ reckoning: { posterior } }: Bearings, day: number): Posterior {
  const { problem } = posterior.model;
  const later = (deed: Deed): boolean => deed.kind === 'ammonia' && deed.day > day + oneDoseDays;
  const deeds = problem.deeds.filter((deed) => !later(deed));
  return { ...posterior, model: { ...posterior.model, problem: { ...problem, deeds } } };
}

/** Ammonia doses with the rise they brought, mg N/L; parts poured within two hours count as one. */
function dosesOf({ situation, reckoning }: Bearings): Dose[] {
  const found: { day: number; mgNPerLitre: number }[] = [];
  const middle = (values: Float64Array): number => values.slice().sort()[values.length >> 1]!;
  for (const deed of situation.problem.deeds) {
    if (deed.kind !== 'ammonia') continue;
    const { size } = deed;
    const strength =
      size.form === 'units' ? valuesOf(reckoning.posterior, `source:${size.source}`) : undefined;
    const amount = size.form === 'known' ? size.amount : size.units * (strength ? middle(strength) : 0);
    const last = found.at(-1);
    if (last && deed.day - last.day < oneDoseDays) last.mgNPerLitre += amount;
    else found.push({ day: deed.day, mgNPerLitre: amount });
  }
  return found;
}
