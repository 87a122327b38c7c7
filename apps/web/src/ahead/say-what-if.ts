import type { Alternative, Idea, Ready } from '@brinewright/counsel';
import type { Print } from '../format/print.ts';
import { words } from '../words/index.ts';

/** An idea after "if". */
export function ideaWords(idea: Idea, { numbers, temperature }: Print): string {
  const of = words.whatIf.ideas;
  switch (idea.do) {
    case 'dose':
      return of.dose(numbers.level(idea.mgNPerLitre));
    case 'exchange':
      return of.exchange(`${numbers.plain(100 * idea.share)} %`);
    case 'warmer':
      return of.warmer(sayDifference(idea.byC, temperature));
    case 'no-culture':
      return of['no-culture'];
  }
}

/** A difference of temperatures: the zero of the scale must not enter. */
const sayDifference = (byC: number, { unit, toShown }: Print['temperature']) =>
  `${Number((toShown(byC) - toShown(0)).toPrecision(3))}\u00a0${unit}`;

/** What the idea does to the ready date, in a sentence or two. */
export function outcomeWords({ ready, laterDays }: Alternative, plan: Ready, print: Print): string {
  const of = words.whatIf;
  const window = windowWords(ready, print);
  const first = window === undefined ? of.noReady : of.ready(window);
  const planned = windowWords(plan, print);
  const beside = planned === undefined ? '' : of.planned(planned);
  return [first, beside, laterDays === null ? '' : differenceWords(laterDays, print)]
    .filter(Boolean)
    .join(' ');
}

function differenceWords(later: NonNullable<Alternative['laterDays']>, { numbers }: Print): string {
  const of = words.whatIf;
  const days = (n: number) => numbers.plain(Math.abs(Math.round(n)));
  const signed = (n: number) => {
    if (Math.round(n) === 0) return of.difference.none;
    return n > 0 ? of.difference.later(days(n)) : of.difference.sooner(days(n));
  };
  const { p05, p50, p95 } = later;
  if (Math.round(p05) === 0 && Math.round(p95) === 0) return of.same;
  if (Math.round(p50) === 0) return of.little(signed(p05), signed(p95));
  const sooner = p50 < 0;
  const [near, far] = sooner ? [p95, p05] : [p05, p95];
  const band =
    Math.sign(Math.round(near)) * Math.sign(p50) < 0
      ? of.bandDays(signed(near), signed(far))
      : of.bandDays(days(near), days(far));
  return (sooner ? of.sooner : of.later)(of.days(days(p50)), band);
}

function windowWords({ p05, p95 }: Ready, { dates }: Print): string | undefined {
  const of = words.whatIf.window;
  if (p05 === null) return undefined;
  const from = dates.day(Date.parse(p05));
  if (p95 === null) return of.from(from);
  const to = dates.day(Date.parse(p95));
  return from === to ? of.on(from) : of.between(from, to);
}
