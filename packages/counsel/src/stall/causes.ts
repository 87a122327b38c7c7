import type { Reckoning } from '../course/reckon.ts';
import { type Bearings, bearingsOf } from '../orders/bearings.ts';
import { type Evidence, evidenceOf, signatures } from './signatures.ts';
import { stallsTable } from './stalls-table.ts';

/** One explanation of what is seen; `sound` is that nothing is wrong and it only takes its time. */
export interface Cause {
  readonly cause: string;
  readonly name: string;
  readonly probability: number;
  /** The fact that speaks for it. */
  readonly fact: string | undefined;
}

/** Prior weight of each word of the table, and of nothing being wrong. */
const weights: Readonly<Record<string, number>> = {
  'very common': 8,
  common: 4,
  'common in lit starts': 4,
  uncommon: 1.5,
  'uncommon but missed': 2,
  rare: 0.5,
};
const soundWeight = 60;
/** What each ground for suspicion leaves of the weight of nothing being wrong. */
const perSuspicion = 0.12;

/** A start that takes longer than nearly all, by day of first food. */
const longWaiting = 12;
const longCourse = 35;

/** Explanations of the tank's course, most probable first: prior × likelihood of the signatures, summing to 1. */
export const causes = (reckoning: Reckoning): Cause[] => causesOf(bearingsOf(reckoning));

export function causesOf(bearings: Bearings): Cause[] {
  const evidence = evidenceOf(bearings);
  const suspicions = suspicionsOf(evidence).length;
  const found = stallsTable.map(({ id, name, prior }) => {
    const { ratio, fact } = signatures[id]?.(evidence) ?? { ratio: 0, fact: undefined };
    return { cause: id, name, fact, weight: (weights[prior] ?? 1) * ratio };
  });
  const sound = {
    cause: 'sound',
    name: 'nothing is wrong; it takes its time',
    fact: undefined,
    weight: soundWeight * perSuspicion ** suspicions,
  };
  const all = [sound, ...found];
  const total = all.reduce((sum, { weight }) => sum + weight, 0);
  return all
    .map(({ weight, ...cause }) => ({ ...cause, probability: weight / total }))
    .sort((a, b) => b.probability - a.probability);
}

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
