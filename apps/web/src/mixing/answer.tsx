import type { Caution, Table, Tool, Worked } from '@brinewright/counsel';
import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { mixingWords } from '../words/mixing.ts';
import { leadOf, sayGist, sayNumber, sayTable, sayText, unminded } from './figures.ts';
import { sayGiven } from './given.ts';
import type { Sheet } from './sheet.ts';
import { mind } from './state.ts';

const of = mixingWords.answer;

interface AnswerProps {
  readonly sheet: Sheet;
  /** What can be done with the answer. */
  readonly children: (answer: Worked) => ComponentChildren;
}

/** The answer of a sheet, or what it still lacks. */
export function Answer({ sheet, children }: AnswerProps) {
  const { answer } = sheet;
  return (
    <section id="answer" class="answer" aria-labelledby="answer-title" tabIndex={-1}>
      <h2 id="answer-title">{of.title}</h2>
      {answer === undefined ? (
        <p class="soft">{sayGist(sheet)}</p>
      ) : (
        <Gate cautions={unminded(answer)}>
          <Amounts tool={sheet.tool} answer={answer} />
          {children(answer)}
          <Workings sheet={sheet} answer={answer} />
        </Gate>
      )}
    </section>
  );
}

/** What must be read before an amount can be acted on stands before it. */
function Gate({ cautions, children }: { cautions: readonly Caution[]; children: ComponentChildren }) {
  if (cautions.length === 0) return <>{children}</>;
  return (
    <div class="gate">
      <h3>{of.gate}</h3>
      <Cautions cautions={cautions} />
      <p class="acts">
        <button
          class="act chief"
          type="button"
          onClick={() => {
            mind(cautions.map(({ id }) => id));
            document.getElementById('answer')?.focus({ preventScroll: true });
          }}
        >
          {of.gateAct}
        </button>
      </p>
    </div>
  );
}

function Amounts({ tool, answer }: { tool: Tool; answer: Worked }) {
  const { results, tables, warnings, cautions } = answer;
  const lead = leadOf(tool, answer);
  const inOrder = results.toSorted((a, b) => Number(b === lead) - Number(a === lead));
  return (
    <>
      <dl class="figures">
        {inOrder.map((result) => (
          <div key={result.name}>
            <dt>{sayText(result.title)}</dt>
            <dd>{sayNumber(result)}</dd>
          </div>
        ))}
      </dl>
      {tables.map((table) => (
        <AnswerTable key={table.title} table={table} />
      ))}
      {cautions.length > 0 && <Cautions cautions={cautions} />}
      {warnings.length > 0 && (
        <div class="minding">
          <h3>{of.mind}</h3>
          <ul>
            {warnings.map((warning) => (
              <li key={warning}>{sayText(warning)}</li>
            ))}
          </ul>
        </div>
      )}
    </>
  );
}

/** Cautions stand where they are needed: before the hand is put to it. */
function Cautions({ cautions }: { cautions: readonly Caution[] }) {
  return (
    <ul class="cautions">
      {cautions.map(({ id, severity, wording, deferTo }) => (
        <li key={id} class={severity}>
          <strong>{of.care}</strong> {wording}{' '}
          {deferTo !== '-' && <span class="soft">{of.ask(deferTo)}</span>}
        </li>
      ))}
    </ul>
  );
}

/** Rows under their heads; a single row of many reads better as pairs. */
function AnswerTable({ table }: { table: Table }) {
  const { heads, cells } = sayTable(table);
  const [only] = cells;
  if (cells.length === 1 && only !== undefined)
    return (
      <>
        <h3>{sayText(table.title)}</h3>
        <dl class="figures lesser">
          {heads.map((head, at) => (
            <div key={head}>
              <dt>{head}</dt>
              <dd>{only[at]}</dd>
            </div>
          ))}
        </dl>
      </>
    );
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable with the keyboard
    <section class="rolls" tabIndex={0} aria-label={table.title}>
      <table>
        <caption>{sayText(table.title)}</caption>
        <thead>
          <tr>
            {heads.map((head) => (
              <th key={head} scope="col">
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {cells.map(([first, ...rest], row) => (
            <tr key={`${row} ${first}`}>
              <th scope="row">{first}</th>
              {rest.map((cell, at) => (
                <td key={heads[at + 1]}>{cell}</td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

/** Every step with its relation and its source; paper shows them all. */
function Workings({ sheet, answer }: { sheet: Sheet; answer: Worked }) {
  const details = useRef<HTMLDetailsElement>(null);
  useEffect(() => {
    const unfold = () => details.current?.setAttribute('open', '');
    addEventListener('beforeprint', unfold);
    return () => removeEventListener('beforeprint', unfold);
  }, []);
  const given = sheet.fields.filter(({ text }) => text !== '');
  return (
    <details class="opens workings" ref={details}>
      <summary>{of.working}</summary>
      <div class="opened">
        <h3>{of.givens}</h3>
        <dl class="figures lesser">
          {given.map((field) => (
            <div key={field.id}>
              <dt>{sayText(field.name)}</dt>
              <dd>{sayGiven(sheet.tool, field)}</dd>
            </div>
          ))}
        </dl>
        <h3>{of.steps}</h3>
        <ol class="steps-taken">
          {answer.working.map((step, at) => (
            <li key={`${at} ${step.quantity}`}>
              <span>{sayText(step.quantity)}</span>
              <span class="value">{sayNumber(step)}</span>
              <span class="soft">{of.workingBy(sayText(step.relation), step.source)}</span>
            </li>
          ))}
        </ol>
        <p class="soft">{of.range}</p>
      </div>
    </details>
  );
}
