import { type Deed, follow, type Problem, type Progress, quantiles } from '@brinewright/evidence';
import type { Ready, Series } from './answer.ts';
import { allSeries, readyOf } from './course.ts';
import { jumpsOf, type Reckoning } from './reckon.ts';

/** Something that might be done, or might have been left undone. Only what the model can answer exactly is here. */
export type Idea =
  /** Ammonia put in now, mg N/L. */
  | { readonly do: 'dose'; readonly mgNPerLitre: number }
  /** A share of the water changed now for new water without nitrogen, 0–1. */
  | { readonly do: 'exchange'; readonly share: number }
  /** Warmer by so many °C from the next whole day on, all else as it is. */
  | { readonly do: 'warmer'; readonly byC: number }
  /** No culture ever added. */
  | { readonly do: 'no-culture' };

/** Where the water would go, beside the plan: the same particles, so that the difference is the idea's alone. */
export interface Alternative {
  readonly idea: Idea;
  readonly ready: Ready;
  readonly series: readonly Series[];
  /**
   * Days by which the water is ready later than planned (earlier, where below 0), particle by particle; null where
   * fewer than nine in ten are ready within the horizon on both courses, since the rest has no difference to show.
   */
  readonly laterDays: { readonly p05: number; readonly p50: number; readonly p95: number } | null;
}

const usualDoseMgNL = 2;
const usualShare = 0.3;
const warmerByC = 2;
/** °C up to which warmth speeds the bacteria; beyond it the model knows only a straight fall, too crude to advise by. */
const warmest = 30;

/** What can be asked of this tank, with the amounts to ask it with. */
export function ideasOf({ situation }: Reckoning): Idea[] {
  const { deeds, surroundings } = situation.problem;
  const last = deeds.findLast((deed) => deed.kind === 'ammonia');
  const known = last?.kind === 'ammonia' && last.size.form === 'known' ? last.size.amount : usualDoseMgNL;
  const here = surroundings.at(-1)?.temperatureC ?? warmest;
  return [
    { do: 'dose', mgNPerLitre: Number((known > 0 ? known : usualDoseMgNL).toPrecision(2)) },
    { do: 'exchange', share: usualShare },
    ...(here + warmerByC <= warmest ? [{ do: 'warmer', byC: warmerByC } as const] : []),
    ...(deeds.some(({ kind }) => kind === 'culture') ? [{ do: 'no-culture' } as const] : []),
  ];
}

/** Follows an idea over the horizon of a reckoning. Yields progress; abandon the generator to cancel. */
export function* whatIf(reckoning: Reckoning, idea: Idea): Generator<Progress, Alternative> {
  const { situation, posterior, trajectories } = reckoning;
  const supposing = supposed(situation.problem, idea);
  const horizon = trajectories.days.at(-1) ?? situation.problem.today;
  const moments = jumpsOf(supposing);
  const other = yield* follow(posterior, horizon, { moments, supposing });
  const neverFed = situation.neverFed && idea.do !== 'dose';
  return {
    idea,
    ready: readyOf(situation, other, neverFed),
    series: allSeries(situation, other),
    laterDays: neverFed || situation.neverFed ? null : laterBy(trajectories.readyDays, other.readyDays),
  };
}

/** The problem with the idea in it. */
function supposed(problem: Problem, idea: Idea): Problem {
  const { deeds, today, surroundings, alkalinity } = problem;
  const also = (deed: Deed): Problem => ({ ...problem, deeds: [...deeds, deed] });
  switch (idea.do) {
    case 'dose':
      return also({ kind: 'ammonia', day: today, size: { form: 'known', amount: idea.mgNPerLitre } });
    case 'exchange':
      return also({
        kind: 'exchange',
        day: today,
        fraction: idea.share,
        nitrate: 0,
        alkalinity: alkalinity.value,
      });
    case 'warmer': {
      const tomorrow = Math.floor(Math.max(0, today)) + 1;
      const days = Math.max(surroundings.length, tomorrow + 1);
      const last = surroundings.at(-1)!;
      return {
        ...problem,
        surroundings: Array.from({ length: days }, (_, day) => {
          const here = surroundings[day] ?? last;
          return day < tomorrow ? here : { ...here, temperatureC: here.temperatureC + idea.byC };
        }),
      };
    }
    case 'no-culture':
      return { ...problem, deeds: deeds.filter(({ kind }) => kind !== 'culture') };
  }
}

const enough = 0.9;

function laterBy(plan: Float64Array, other: Float64Array): Alternative['laterDays'] {
  const both = plan.map((day, i) => other[i]! - day).filter(Number.isFinite);
  if (both.length < enough * plan.length) return null;
  const [p05, p50, p95] = quantiles(both, [0.05, 0.5, 0.95]);
  return { p05: p05!, p50: p50!, p95: p95! };
}
