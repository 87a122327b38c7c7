import type { Alternative, Idea, Ready, Sheet } from '@brinewright/counsel';
import type { TankId } from '@brinewright/journal';
import { useEffect, useState } from 'preact/hooks';
import type { Print } from '../format/print.ts';
import { Radios } from '../parts/field.tsx';
import { Bar } from '../parts/working.tsx';
import { supposeFor } from '../state/course.ts';
import { words } from '../words/index.ts';
import { useAsked } from './use-asked.ts';

interface WhatIfProps {
  readonly tank: TankId;
  readonly sheet: Sheet;
  readonly ideas: readonly Idea[];
  readonly print: Print;
  /** The course to draw beside the plan, or none. */
  readonly onBeside: (alternative: Alternative | undefined) => void;
}

const PLAN = 'plan';

/** One thing otherwise: chosen from what can be followed exactly, and drawn beside the plan. */
export function WhatIf({ tank, sheet, ideas, print, onBeside }: WhatIfProps) {
  const of = words.whatIf;
  const [chosen, setChosen] = useState<string>(PLAN);
  const { standing, ask, leave } = useAsked<Alternative>();
  const choose = (which: string) => {
    setChosen(which);
    onBeside(undefined);
    const idea = ideas.find((one) => one.do === which);
    if (idea === undefined) leave();
    else ask((onFraction) => supposeFor(tank, idea, onFraction));
  };
  // A newer plan makes an older comparison wrong.
  useEffect(() => choose(PLAN), [sheet.course.asOf]);
  useEffect(() => {
    if (standing.kind === 'answered') onBeside(standing.answer);
  }, [standing]);
  return (
    <>
      <p class="soft">{of.lede}</p>
      <Radios
        legend={of.legend}
        name="what-if"
        value={chosen}
        onValue={choose}
        options={[
          [PLAN, of.plan],
          ...ideas.map((idea) => [idea.do as string, ideaWords(idea, print)] as const),
        ]}
      />
      {standing.kind === 'working' && (
        <div class="progress">
          <p>{of.working}</p>
          <Bar fraction={standing.fraction} />
          <button class="word" type="button" onClick={() => choose(PLAN)}>
            {of.leave}
          </button>
        </div>
      )}
      <div class="said-now" role="status">
        {standing.kind === 'unanswered' && <p>{of.notHeld}</p>}
        {standing.kind === 'failed' && <p class="problem">{of.failed(standing.why)}</p>}
        {standing.kind === 'answered' && (
          <p>
            <span class="key">{of.key(ideaWords(standing.answer.idea, print))}</span>{' '}
            {outcomeWords(standing.answer, sheet.course.ready, print)}
          </p>
        )}
      </div>
    </>
  );
}

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
