import type { Alternative, Idea, Sheet } from '@brinewright/counsel';
import type { TankId } from '@brinewright/journal';
import { useEffect, useState } from 'preact/hooks';
import type { Print } from '../format/print.ts';
import { Radios } from '../parts/field.tsx';
import { Bar } from '../parts/working.tsx';
import { answerOf, reckon } from '../state/course.ts';
import { supposeFor } from '../state/questions.ts';
import { isHeld } from '../state/worker.ts';
import { words } from '../words/index.ts';
import { ideaWords, outcomeWords } from './say-what-if.ts';
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
    else if (isHeld(tank)) ask((onFraction) => supposeFor(tank, idea, onFraction));
    // The plan may come from an earlier visit: the worker needs it anew, and the question follows with the newer plan.
    else reckon(tank, true);
  };
  // A newer plan makes an older comparison wrong.
  useEffect(() => choose(chosen), [sheet.course.asOf]);
  useEffect(() => {
    if (standing.kind === 'answered') onBeside(standing.answer);
  }, [standing]);
  const { work } = answerOf(tank).value;
  const awaited = chosen !== PLAN && standing.kind === 'none' ? work?.fraction : undefined;
  const working = standing.kind === 'working' ? standing.fraction : awaited;
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
      {working !== undefined && (
        <div class="progress">
          <p>{of.working}</p>
          <Bar fraction={working} />
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
