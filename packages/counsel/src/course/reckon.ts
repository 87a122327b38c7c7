import {
  type FitSettings,
  fit,
  follow,
  type Hand,
  type Posterior,
  type Problem,
  type Progress,
  settle,
  type Trajectories,
  update,
} from '@brinewright/evidence';
import type { TankFacts } from '@brinewright/journal';
import { type Situation, situationOf } from '../situation/situation.ts';
import { believed, type KitLore } from './lore.ts';

/** A tank fitted at an instant: what every answer about it is read from. */
export interface Reckoning {
  readonly situation: Situation;
  readonly posterior: Posterior;
  readonly trajectories: Trajectories;
  /** Other suppositions weighed for this tank so far, by name, where they may be carried on (stall/rivals.ts). */
  readonly supposed: Map<string, Weighed> | undefined;
}

/** A supposition fitted to the readings, and the logarithm of how many times better than the usual it foretold them. */
interface Weighed {
  readonly fit: Posterior;
  readonly ahead: number;
}

export interface ReckonOptions extends Partial<FitSettings> {
  /** Epoch milliseconds. */
  readonly asOf: number;
  /** Days past `asOf` to look ahead. */
  readonly days?: number;
  /** What the same kits showed in other tanks of the keeper. */
  readonly lore?: KitLore;
  /** An earlier reckoning of the same tank: its particles are carried on where that is possible. */
  readonly previous?: Reckoning;
  /** Threads that do a part of the work; whoever drives the generator waits where it says so. */
  readonly hands?: readonly Hand[];
}

export const usualHorizonDays = 90;

/** Share of the whole work spent before looking ahead. */
const fitShare = 0.85;

/**
 * Fits a tank and looks ahead. Yields progress every few dozen milliseconds; abandon the generator to cancel.
 * @throws SituationError where the journal cannot answer.
 */
export function* reckon(facts: TankFacts, options: ReckonOptions): Generator<Progress, Reckoning> {
  const { asOf, days = usualHorizonDays, previous, lore, hands = [], ...settings } = options;
  const situation = informed(situationOf(facts, asOf), lore);
  const steps = carriedOn(previous?.posterior, situation.problem, settings, hands);
  const posterior = yield* scaled(steps, 0, fitShare);
  const horizon = situation.problem.today + days;
  const moments = jumpsOf(situation.problem);
  const trajectories = yield* scaled(follow(posterior, horizon, { moments }), fitShare, 1);
  return { situation, posterior, trajectories, supposed: previous && (previous.supposed ?? new Map()) };
}

/** Takes what is new in where a problem only adds to the one an earlier fit was of; fits afresh elsewhere. */
export function* carriedOn(
  previous: Posterior | undefined,
  problem: Problem,
  settings: Partial<FitSettings>,
  hands: readonly Hand[] = [],
): Generator<Progress, Posterior> {
  if (!previous || !extendsProblem(previous.model.problem, problem))
    return yield* fit(problem, settings, hands);
  return yield* update(yield* settle(previous, hands), problem, hands);
}

/** Does ahead, while nobody waits, what reckoning on from here would begin with. */
export function* settleAhead({ posterior, supposed }: Reckoning): Generator<Progress, void> {
  yield* settle(posterior);
  for (const { fit } of supposed?.values() ?? []) yield* settle(fit);
}

function informed(situation: Situation, lore: KitLore | undefined): Situation {
  const beliefs = lore ? believed(situation, lore) : [];
  return beliefs.length === 0 ? situation : { ...situation, problem: { ...situation.problem, beliefs } };
}

/** Days, about a minute: near enough to a deed for the water to be as it was just before. */
const justBefore = 1 / 1440;
const jumping: ReadonlySet<string> = new Set(['ammonia', 'nitrite', 'nitrate', 'exchange']);

/** Just before and at each deed that moves a level at once, so that a dose is drawn as a jump and not as a day's climb. */
export function jumpsOf({ deeds }: Problem): number[] {
  return deeds.filter(({ kind }) => jumping.has(kind)).flatMap(({ day }) => [day - justBefore, day]);
}

function* scaled<T>(steps: Generator<Progress, T>, from: number, to: number): Generator<Progress, T> {
  for (;;) {
    const step = steps.next();
    if (step.done) return step.value;
    yield { ...step.value, fraction: from + (to - from) * step.value.fraction };
  }
}

/** Whether a problem only adds to an earlier one, so that its particles still stand for something. */
function extendsProblem(before: Problem, after: Problem): boolean {
  const sameStart = before.start === after.start && before.salinity === after.salinity;
  const has = <T>(list: readonly T[], more: readonly T[]): boolean =>
    list.every((item, index) => JSON.stringify(item) === JSON.stringify(more[index]));
  return (
    sameStart &&
    before.today <= after.today &&
    has(before.instruments, after.instruments) &&
    JSON.stringify(before.beliefs) === JSON.stringify(after.beliefs) &&
    before.observations.every((item) =>
      after.observations.some((other) => JSON.stringify(item) === JSON.stringify(other)),
    )
  );
}
