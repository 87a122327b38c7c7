import type { Cause, Sheet } from '@brinewright/counsel';
import { inHundred } from '@brinewright/counsel/chances';
import type { TankId } from '@brinewright/journal';
import { useEffect } from 'preact/hooks';
import { withSubscripts } from '../format/ions.ts';
import { Bar } from '../parts/working.tsx';
import { answerOf, reckon } from '../state/course.ts';
import { explainFor } from '../state/questions.ts';
import { isHeld } from '../state/worker.ts';
import { words } from '../words/index.ts';
import { useAsked } from './use-asked.ts';

/** Explanations less likely than this, and more than so many, are counted together. */
const LEAST_SHOWN = 0.03;
const SHOWN_AT_MOST = 6;

/** What may hold the tank up: how likely each explanation is, what would tell, and what to do. */
export function Why({ tank, sheet }: { tank: TankId; sheet: Sheet }) {
  const of = words.why;
  const { standing, ask } = useAsked<readonly Cause[]>();
  useEffect(() => {
    if (isHeld(tank)) ask((onFraction) => explainFor(tank, onFraction));
    // The sheet may come from an earlier visit: the worker needs the course anew, and the question follows with it.
    else reckon(tank, true);
  }, [sheet.course.asOf]);
  const { work } = answerOf(tank).value;
  const fraction = standing.kind === 'working' ? standing.fraction : (work?.fraction ?? 0);
  return (
    <>
      <p class="soft">{of.lede}</p>
      {(standing.kind === 'working' || standing.kind === 'none') && (
        <div class="progress">
          <p>{of.working}</p>
          <Bar fraction={fraction} />
        </div>
      )}
      <div role="status">
        {standing.kind === 'unanswered' && <p>{words.whatIf.notHeld}</p>}
        {standing.kind === 'failed' && <p class="problem">{of.failed(standing.why)}</p>}
        {standing.kind === 'answered' && <Causes causes={standing.answer} />}
      </div>
    </>
  );
}

function Causes({ causes }: { causes: readonly Cause[] }) {
  const of = words.why;
  const shown = causes.filter(({ probability }) => probability >= LEAST_SHOWN).slice(0, SHOWN_AT_MOST);
  const left = 1 - shown.reduce((sum, { probability }) => sum + probability, 0);
  return (
    <>
      <ol class="causes">
        {shown.map(({ cause, name, probability, fact, advice }) => (
          <li key={cause}>
            <span class="chance">{inHundred(probability)}</span>
            <div>
              <strong>{name}</strong>
              {fact !== undefined && <p>{withSubscripts(of.fact(fact))}</p>}
              {advice && (
                <>
                  <p>{withSubscripts(of.look(advice.look))}</p>
                  <p>{withSubscripts(of.remedy(advice.remedy, advice.never))}</p>
                  <p class="soft">{advice.source}</p>
                </>
              )}
            </div>
          </li>
        ))}
      </ol>
      <p class="soft">{of.rest(inHundred(left), causes.length)}</p>
    </>
  );
}
