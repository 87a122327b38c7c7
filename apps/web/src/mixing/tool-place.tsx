import { type Tool, toolOf } from '@brinewright/counsel';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { Title } from '../parts/title.tsx';
import { paths } from '../state/paths.ts';
import { print } from '../state/reader.ts';
import { mixingWords as words } from '../words/mixing.ts';
import { Answer } from './answer.tsx';
import { FieldGroups } from './field-groups.tsx';
import { sayGist } from './figures.ts';
import { Hand } from './hand.tsx';
import { knownOf } from './known.ts';
import { type Draft, sheetOf } from './sheet.ts';
import { draftOf, remember, takeIn, tankInHand } from './state.ts';
import { TankChoice } from './tank-choice.tsx';
import { useSettled } from './use-settled.ts';
import { WriteDown } from './write-down.tsx';

/** One tool: its fields, and the answer as it is typed. */
export function ToolPlace({ id }: { id: string }) {
  const tool = toolOf(id);
  return tool === undefined ? <LostTool /> : <ToolSheet key={id} tool={tool} />;
}

const SETTLED_MS = 700;

function ToolSheet({ tool }: { tool: Tool }) {
  useState(() => takeIn(tool, location.search));
  useEffect(() => {
    // What the link brought is in the sheet now; a reload must not bring it again over what is typed since.
    history.replaceState(history.state, '', location.pathname + location.hash);
    remember(tool.id);
  }, [tool.id]);
  const draft = draftOf(tool.id);
  const tank = tankInHand.value;
  const { dates } = print.value;
  const known = useMemo(() => (tank === undefined ? {} : knownOf(tank, dates)), [tank, dates]);
  const sheet = sheetOf(tool, draft.value, { tank, known });
  const settled = useSettled(draft.value, SETTLED_MS);
  const gist = sayGist(sheet);
  const spoken = useSettled(gist, SETTLED_MS);
  const write = (id: string, written: Draft[string] | undefined) => {
    const { [id]: _, ...others } = draft.value;
    draft.value = written === undefined ? others : { ...others, [id]: written };
  };
  return (
    <div class="mixing sheet">
      <a class="way-back" href={paths.mixingRoom}>
        {words.back}
      </a>
      <div class="lede">
        <Title name={tool.title}>{tool.title}</Title>
        <p>{tool.purpose}</p>
      </div>
      <div class="two-sides">
        <form class="asking" noValidate onSubmit={(event) => event.preventDefault()}>
          <TankChoice tank={tank} fills={Object.values(sheet.fields).some((each) => each.known)} />
          <FieldGroups sheet={sheet} tank={tank} onWrite={write} settled={settled === draft.value} />
          <Hand sheet={sheet} />
          <a class="gist" href="#answer">
            {gist}
          </a>
        </form>
        <div class="answering">
          <p class="hidden-text" role="status">
            {spoken}
          </p>
          <Answer sheet={sheet}>
            {(answer) => (
              <WriteDown key={tank?.tank ?? ''} tool={tool} answer={answer} tank={tank} typed={draft.value} />
            )}
          </Answer>
        </div>
      </div>
    </div>
  );
}

function LostTool() {
  return (
    <div class="lede">
      <Title name={words.lost}>{words.lost}</Title>
      <p class="acts">
        <a class="act" href={paths.mixingRoom}>
          {words.lostRemedy}
        </a>
      </p>
    </div>
  );
}
