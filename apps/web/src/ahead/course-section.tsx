import type { Alternative, Idea, Sheet } from '@brinewright/counsel';
import type { TankId } from '@brinewright/journal';
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { CourseChart } from '../charts/course-chart.tsx';
import { CourseTable } from '../charts/course-table.tsx';
import { print } from '../state/reader.ts';
import { words } from '../words/index.ts';
import { LookBack } from './look-back.tsx';
import { WhatIf } from './what-if.tsx';
import { Why } from './why.tsx';

interface CourseSectionProps {
  readonly tank: TankId;
  readonly sheet: Sheet;
  readonly ideas: readonly Idea[];
}

/** The course, what might change it, what was said of it before, and the same in figures. */
export function CourseSection({ tank, sheet, ideas }: CourseSectionProps) {
  const { dates, numbers } = print.value;
  const [beside, setBeside] = useState<Alternative | undefined>();
  const [opened, setOpened] = useState<Readonly<Record<string, boolean>>>({});
  const part = (
    key: 'what-if' | 'look-back' | 'why' | 'table',
    title: string,
    content: () => ComponentChildren,
  ) => (
    <details
      class="opens"
      onToggle={(event) => setOpened({ ...opened, [key]: event.currentTarget.open || opened[key] === true })}
    >
      <summary>{title}</summary>
      <div class="opened">{opened[key] === true && content()}</div>
    </details>
  );
  return (
    <section class="part" aria-labelledby="course">
      <h2 id="course">{words.tank.course}</h2>
      <CourseChart
        sheet={sheet}
        dates={dates}
        numbers={numbers}
        beside={beside && { ...beside, from: besideFrom(beside, sheet.course.asOf) }}
      />
      {part('what-if', words.whatIf.title, () => (
        <WhatIf tank={tank} sheet={sheet} ideas={ideas} print={print.value} onBeside={setBeside} />
      ))}
      {part('look-back', words.lookBack.title, () => (
        <LookBack tank={tank} sheet={sheet} print={print.value} />
      ))}
      {part('why', words.why.title, () => (
        <Why tank={tank} sheet={sheet} />
      ))}
      {part('table', words.tank.table, () => (
        <CourseTable sheet={sheet} dates={dates} numbers={numbers} />
      ))}
    </section>
  );
}

/** What is supposed to be done now shows from now on; what is supposed never to have been, from the opening. */
const besideFrom = ({ idea }: Alternative, asOf: string) => (idea.do === 'no-culture' ? 0 : Date.parse(asOf));
