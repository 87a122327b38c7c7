import { ended, type Hand, type Progress } from '@brinewright/evidence';
import type { Reckoning } from '../course/reckon.ts';
import { bearingsOf } from '../orders/bearings.ts';
import { type Rivals, weighRivals } from './rivals.ts';
import { type Evidence, evidenceOf, type Signature, signatures } from './signatures.ts';
import { stallsTable } from './stalls-table.ts';

/** One explanation of what is seen; `sound` is that nothing is wrong and it only takes its time. */
export interface Cause {
  /** Row of the table of stalls, `sound`, or `unfed`. */
  readonly cause: string;
  readonly name: string;
  readonly probability: number;
  /** The fact that speaks for it. */
  readonly fact: string | undefined;
  /** What would tell, what to do if it is so and what not, and whose word that is; null where nothing is to be done. */
  readonly advice: Advice | null;
}

export interface Advice {
  readonly look: string;
  readonly remedy: string;
  readonly never: string;
  readonly source: string;
}

/** Weight of each word of the table before anything is read, and of nothing being wrong. */
const weights: Readonly<Record<string, number>> = {
  'very common': 1.3,
  common: 1,
  'common in lit starts': 1,
  uncommon: 0.6,
  'uncommon but missed': 0.7,
  rare: 0.3,
};
const soundWeight = 4;
const unfedWeight = { certain: 80, likely: 40 };

/** Causes whose signatures speak of the same readings their suppositions are weighed against. */
const weighed = new Set(['STL-DEAD', 'STL-VOL', 'STL-KIT', 'STL-NO2', 'STL-SRC']);
/** Causes that slow both steps, as a poison does: where the readings speak against that, they speak against these. */
const slowing: ReadonlySet<string> = new Set(['STL-PH', 'STL-HOT', 'STL-O2', 'STL-SAL', 'STL-UV']);
const poisons: ReadonlySet<string> = new Set(['STL-CL', 'STL-CU', 'STL-MED']);
const poisonName = 'something in the water harms the bacteria: chlorine, metal or medicine';

const feeding: ReadonlySet<string> = new Set(['ammonia', 'organic', 'load', 'nitrite']);

/** Signature of a cause about which nobody wrote anything down. */
const unspoken = 0.4;
/** No single fact beside the readings weighs more; one that the readings already speak of, less. */
const mostByFact = 12;
const mostBesideReadings = 3;

/**
 * Explanations of the tank's course, most probable first, summing to 1: what is usual × what was written down besides ×
 * how much better each one's suppositions foretold the readings. Yields progress. Hands weigh some of them.
 */
export function* explain(reckoning: Reckoning, hands: readonly Hand[] = []): Generator<Progress, Cause[]> {
  return ranked(evidenceOf(bearingsOf(reckoning)), yield* weighRivals(reckoning, hands));
}

/** The same at once. */
export const causes = (reckoning: Reckoning): Cause[] => ended(explain(reckoning));

function ranked(evidence: Evidence, rivals: Rivals): Cause[] {
  const found = stallsTable
    .filter(({ id }) => !poisons.has(id))
    .map((row) => {
      const signature = signatures[row.id]?.(evidence) ?? { ratio: 0 };
      const weight = weightOf(row, signature, rivals);
      return { cause: row.id, name: row.name, fact: signature.fact, advice: adviceOf(row.id), weight };
    });
  const unfed = {
    cause: 'unfed',
    name: 'nothing has been fed: there is nothing for bacteria to live on',
    fact: 'no dose, food or animal is written down',
    advice: {
      look: 'Look through what was put in: is a dose or food missing from the journal?',
      remedy: 'feed 1–2 mg/L of ammonia as N, or write down what was fed',
      never: 'waiting: without food nothing grows',
      source: 'Hagopian & Riley 1998',
    },
    weight: unfedFor(evidence),
  };
  const sound = {
    cause: 'sound',
    name: 'nothing is wrong; it takes its time',
    fact: undefined,
    advice: null,
    weight: soundWeight,
  };
  const all = [sound, unfed, poisoned(evidence, rivals), ...found];
  const total = all.reduce((sum, { weight }) => sum + weight, 0);
  return all
    .map(({ weight, ...cause }) => ({ ...cause, probability: weight / total }))
    .sort((a, b) => b.probability - a.probability);
}

function adviceOf(cause: string): Advice | null {
  const row = stallsTable.find(({ id }) => id === cause);
  return row ? { look: row.toldBy, remedy: row.action, never: row.never, source: row.source } : null;
}

function unfedFor({ bearings: { situation } }: Evidence): number {
  if (situation.neverFed) return unfedWeight.certain;
  const fed =
    situation.problem.deeds.some(({ kind }) => feeding.has(kind)) || situation.problem.unsizedAnimals;
  return fed || situation.problem.start === 'mature' ? 0 : unfedWeight.likely;
}

const weightOf = ({ id, prior }: { id: string; prior: string }, signature: Signature, rivals: Rivals) =>
  (weights[prior] ?? 1) * byFact(id, signature) * byReadings(id, rivals);

/** How much better a cause's suppositions foretold the readings. */
function byReadings(id: string, rivals: Rivals): number {
  if (poisons.has(id)) return rivals.get('poison') ?? 1;
  if (slowing.has(id)) return Math.min(1, rivals.get('poison') ?? 1);
  return rivals.get(id) ?? 1;
}

/** What a cause's own facts leave of its odds. */
function byFact(id: string, { ratio }: Signature): number {
  if (weighed.has(id)) return Math.min(mostBesideReadings, Math.max(1, ratio));
  return Math.min(mostByFact, ratio < 1 ? ratio / unspoken : ratio);
}

/** Poisons as one explanation, with the name and the odds of the one something was written about, or of chlorine. */
function poisoned(evidence: Evidence, rivals: Rivals) {
  const kinds = stallsTable
    .filter(({ id }) => poisons.has(id))
    .map(({ id, name, prior }) => ({ id, name, prior, ...(signatures[id]?.(evidence) ?? { ratio: 0 }) }));
  const likeliest = kinds.reduce((a, b) => (b.ratio > a.ratio ? b : a));
  const told = likeliest.ratio > 1;
  return {
    cause: likeliest.id,
    name: told ? likeliest.name : poisonName,
    fact: 'fact' in likeliest ? likeliest.fact : undefined,
    advice: adviceOf(likeliest.id),
    weight: weightOf(likeliest, likeliest, rivals),
  };
}

/** A start that takes longer than nearly all, by day of first food. */
const longWaiting = 12;
const longCourse = 35;

/** Why anyone should think that something is wrong, in words. */
export function suspicionsOf({
  bearings,
  flatDays,
  unexplained,
  firstRise,
  nitriteBeyond,
}: Evidence): string[] {
  const { levels, today, reckoning, animals, situation } = bearings;
  if (situation.neverFed) return [];
  const last = reckoning.trajectories.readyDays;
  const never = last.filter((day) => day === Infinity).length / last.length;
  const doubts: (readonly [boolean, string])[] = [
    [flatDays > longWaiting, `ammonia has stood still for ${Math.floor(flatDays)} days`],
    [
      levels.ammonia.p50 < 0.3 && levels.nitrite.p50 > 5,
      'nitrite is far higher than one dose explains and ammonia is gone',
    ],
    [firstRise !== undefined, 'the first dose did not bring the rise it should have'],
    [nitriteBeyond !== undefined, 'more nitrite was read than all the nitrogen put in could make'],
    [unexplained.length > 0, 'a reading fits nothing else that was read'],
    [levels.alkalinity.p50 < 1.4, 'alkalinity is nearly used up'],
    [levels.ammonia.p50 > 4.5, 'ammonia is higher than it should ever be'],
    [bearings.temperatureC < 22 || bearings.temperatureC > 32, 'the temperature is far from 25–28 °C'],
    [
      today > longCourse && bearings.ready < 0.3 && !animals.present,
      'it takes longer than nearly all start-ups',
    ],
    [never > 0.5 && !animals.present, 'no ready date lies within the days looked ahead'],
  ];
  return doubts.filter(([holds]) => holds).map(([, said]) => said);
}

/** Whether the orders will ask for explanations: whoever may not be held up drives `explain` in steps beforehand. */
export const isSuspected = (reckoning: Reckoning): boolean =>
  suspicionsOf(evidenceOf(bearingsOf(reckoning))).length > 0;
