import type { Sheet } from '@brinewright/counsel';
import type { TankId } from '@brinewright/journal';
import { useState } from 'preact/hooks';
import { CourseChart } from '../charts/course-chart.tsx';
import { DAY_MS } from '../format/dates.ts';
import type { Print } from '../format/print.ts';
import { Emphasised } from '../parts/emphasised.tsx';
import { Choice, Field } from '../parts/field.tsx';
import { Bar } from '../parts/working.tsx';
import { recall } from '../state/questions.ts';
import { words } from '../words/index.ts';
import { scoreOf } from './score.ts';
import { useAsked } from './use-asked.ts';

interface LookBackProps {
  readonly tank: TankId;
  readonly sheet: Sheet;
  readonly print: Print;
}

/** What an earlier sheet said, held against what was read after it. */
export function LookBack({ tank, sheet, print }: LookBackProps) {
  const of = words.lookBack;
  const [chosen, setChosen] = useState('');
  const { standing, ask, leave } = useAsked<Sheet>();
  const days = daysRead(sheet);
  const choose = (which: string) => {
    setChosen(which);
    if (which === '') leave();
    else ask((onFraction) => recall(tank, Number(which), onFraction));
  };
  return (
    <>
      <p class="soft">{of.lede}</p>
      <Field label={of.choose}>
        <Choice
          value={chosen}
          onValue={choose}
          options={[
            ['', of.none],
            ...days.map(({ at, day }) => [String(at), of.day(day, print.dates.weekday(at))] as const),
          ]}
        />
      </Field>
      {standing.kind === 'working' && (
        <div class="progress">
          <p>{of.working}</p>
          <Bar fraction={standing.fraction} />
          <button class="word" type="button" onClick={() => choose('')}>
            {words.whatIf.leave}
          </button>
        </div>
      )}
      <div role="status">
        {standing.kind === 'failed' && <p class="problem">{words.whatIf.failed(standing.why)}</p>}
        {standing.kind === 'answered' && <Verdict earlier={standing.answer} sheet={sheet} print={print} />}
      </div>
      {standing.kind === 'answered' && (
        <CourseChart
          sheet={overlaid(standing.answer, sheet)}
          dates={print.dates}
          numbers={print.numbers}
          dividing={of.thatDay}
          reach={Date.parse(sheet.course.asOf)}
        />
      )}
    </>
  );
}

function Verdict({ earlier, sheet, print }: { earlier: Sheet } & Omit<LookBackProps, 'tank'>) {
  const of = words.lookBack;
  const { inside, all } = scoreOf(earlier, sheet.readings);
  const asOf = Date.parse(earlier.course.asOf);
  const since = sheet.deeds.filter(({ at }) => Date.parse(at) > asOf).length;
  return (
    <div class="said-now">
      <p>
        {of.said(print.dates.day(asOf))}{' '}
        <Emphasised sentence={earlier.sentence} emphasis={earlier.emphasis} />
      </p>
      <p>
        {of.score(inside, all)} {of.deeds(since)}
      </p>
    </div>
  );
}

/** The earlier course under everything read and done up to now. What is a surprise today was none then. */
function overlaid(earlier: Sheet, now: Sheet): Sheet {
  const asOf = earlier.course.asOf;
  const readings = now.readings.map((reading) => (reading.at > asOf ? { ...reading, surprise: 1 } : reading));
  return { ...earlier, readings, deeds: now.deeds };
}

const SHOWN = 60;

/** The end of each day on which something was read, newest first, the last left out: nothing was read after it. */
function daysRead({ readings, course }: Sheet): readonly { readonly at: number; readonly day: number }[] {
  const opened = Date.parse(course.series[0]?.points[0]?.at ?? course.asOf);
  const byDay = new Map<number, number>();
  for (const reading of readings) {
    const at = Date.parse(reading.at);
    const day = Math.floor((at - opened) / DAY_MS);
    byDay.set(day, Math.max(at, byDay.get(day) ?? 0));
  }
  return [...byDay]
    .map(([day, at]) => ({ at: at + 60_000, day }))
    .sort((a, b) => b.at - a.at)
    .slice(1, 1 + SHOWN);
}
