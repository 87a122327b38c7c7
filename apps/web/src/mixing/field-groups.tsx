import type { TankFacts } from '@brinewright/journal';
import { useState } from 'preact/hooks';
import { mixingWords } from '../words/mixing.ts';
import { FieldRow } from './field-row.tsx';
import { sayText } from './figures.ts';
import { type Group, groupsOf } from './layout.ts';
import type { Draft, FieldState, Sheet } from './sheet.ts';

interface FieldsProps {
  readonly sheet: Sheet;
  readonly tank: TankFacts | undefined;
  readonly onWrite: (id: string, written: Draft[string] | undefined) => void;
  /** Nothing was typed for a moment, so that a fault may be said without interrupting. */
  readonly settled: boolean;
}

/** The fields of a tool: those it needs, and behind a word those that may be left out. */
export function FieldGroups(props: FieldsProps) {
  const { tool, fields } = props.sheet;
  const groups = groupsOf(
    tool,
    fields.map(({ id }) => id),
  );
  return (
    <>
      {groups.map((group) =>
        group.title === undefined ? (
          <GroupFields key="all" group={group} {...props} />
        ) : (
          <fieldset key={group.title} class="water">
            <legend>{group.title}</legend>
            <GroupFields group={group} {...props} />
          </fieldset>
        ),
      )}
    </>
  );
}

function GroupFields({ group, sheet, ...rest }: FieldsProps & { group: Group }) {
  const state = (id: string): FieldState => sheet.fields.find((each) => each.id === id)!;
  const row = (id: string) => (
    <FieldRow
      key={id}
      state={state(id)}
      tool={sheet.tool}
      {...(state(id).field.title === group.title ? { label: mixingWords.field.howMuch } : {})}
      {...rest}
    />
  );
  const folded = group.folded.map(state);
  const [begun] = useState(folded.some(({ touched }) => touched));
  const faulty = folded.some(({ fault }) => fault !== undefined);
  return (
    <>
      {group.asked.map(row)}
      {folded.length > 0 && (
        <details class="opens" open={begun || faulty || undefined}>
          <summary>{sayText(foldName(folded))}</summary>
          <div class="opened">{group.folded.map(row)}</div>
        </details>
      )}
    </>
  );
}

/** More names than this do not fit beside the sign that opens. */
const NAMED = 4;

/** The fold names what is behind it, as far as that helps. */
function foldName(folded: readonly FieldState[]): string {
  const of = mixingWords.field;
  const titles = folded.map(({ field }) => field.title);
  return titles.length <= NAMED + 1
    ? of.fold(titles)
    : of.foldMany(titles.slice(0, NAMED), titles.length - NAMED);
}
