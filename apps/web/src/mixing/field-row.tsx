import type { Field, Tool } from '@brinewright/counsel';
import type { TankFacts } from '@brinewright/journal';
import { useState } from 'preact/hooks';
import { mixingWords } from '../words/mixing.ts';
import { sayText } from './figures.ts';
import { sayChoice } from './given.ts';
import { Measure } from './measure.tsx';
import { askedOf, type Draft, type FieldState, sayFault } from './sheet.ts';
import { Source } from './source.tsx';
import { formulaShown } from './units.ts';

interface RowProps {
  readonly state: FieldState;
  readonly tool: Tool;
  readonly tank: TankFacts | undefined;
  readonly onWrite: (id: string, written: Draft[string] | undefined) => void;
  readonly settled: boolean;
  /** Its name where the group it stands in says the rest. */
  readonly label?: string;
}

/** One field: its name, what to write, where to write it, where its number comes from and what is wrong with it. */
export function FieldRow({ state, tool, tank, onWrite, settled, label }: RowProps) {
  const { id, field, fault, written, missing } = state;
  const [here, setHere] = useState(false);
  const shownFault = fault !== undefined && (!here || settled) ? fault : undefined;
  const asked = askedOf(tool, id);
  const own = `field-${id}`;
  const [hint, source, wrong] = [`${own}-hint`, `${own}-source`, `${own}-fault`];
  const tie = {
    id: own,
    'aria-describedby': [hint, source, ...(shownFault ? [wrong] : [])].join(' '),
    'aria-invalid': shownFault !== undefined,
    required: missing,
  };
  const write = (value: Draft[string] | undefined) => onWrite(id, value);
  return (
    <div
      class={shownFault ? 'field faulty' : 'field'}
      onFocusIn={() => setHere(true)}
      onFocusOut={() => setHere(false)}
    >
      <label for={own}>
        {sayText(label ?? field.title)} {missing && <span class="need">{mixingWords.field.needed}</span>}
      </label>
      <span class="hint" id={hint}>
        {sayText(field.help)}
      </span>
      {asked !== undefined && typeof written !== 'string' ? (
        <Measure asked={asked} tank={tank} state={state} written={written} tie={tie} onWrite={write} />
      ) : (
        <Plain tool={tool} id={id} field={field} text={String(written)} tie={tie} onWrite={write} />
      )}
      <Source id={source} state={state} asked={asked} tank={tank} onWrite={write} />
      {shownFault && (
        <p class="problem" id={wrong}>
          {sayFault(shownFault)}
        </p>
      )}
    </div>
  );
}

export interface Tie {
  readonly id: string;
  readonly 'aria-describedby': string;
  readonly 'aria-invalid': boolean;
  readonly required: boolean;
}

interface PlainProps {
  readonly tool: Tool;
  readonly id: string;
  readonly field: Field;
  readonly text: string;
  readonly tie: Tie;
  readonly onWrite: (text: string) => void;
}

function Plain({ tool, id, field, text, tie, onWrite }: PlainProps) {
  if (field.kind === 'choice')
    return (
      <>
        <span class="entry">
          <select {...tie} value={text} onChange={(event) => onWrite(event.currentTarget.value)}>
            {Object.entries(field.options).map(([key, meaning]) => (
              <option key={key} value={key}>
                {sayChoice(key, meaning)}
              </option>
            ))}
          </select>
        </span>
        <p class="source">{chosenInFull(field, text)}</p>
      </>
    );
  return (
    <>
      <span class="entry">
        <input
          {...tie}
          type="text"
          autoComplete="off"
          autoCapitalize="off"
          spellcheck={false}
          value={text}
          onInput={(event) => onWrite(event.currentTarget.value)}
        />
      </span>
      <p class="picks">
        {(picks[tool.id]?.[id] ?? []).map((pick) => (
          <button
            key={pick}
            type="button"
            aria-label={mixingWords.field.pick(field.title, pick)}
            aria-pressed={text === pick}
            onClick={() => onWrite(pick)}
          >
            {formulaShown(pick)}
          </button>
        ))}
      </p>
    </>
  );
}

/** A closed list cuts long meanings off. */
const CUT = 32;
function chosenInFull({ options }: Field & { kind: 'choice' }, key: string): string {
  const said = sayChoice(key, options[key] ?? '');
  return said.length > CUT ? `${said}.` : '';
}

const ammonium = ['NH4Cl', '(NH4)2SO4'];
/** What people usually write into a free text, to be tapped instead. */
const picks: Readonly<Record<string, Readonly<Record<string, readonly string[]>>>> = {
  hydrometer: { scale: ['25/25', '20/20', '20/4', '15/4', '25/4', '60/60F'] },
  'ammonia-from-salt': { formula: ammonium },
  'ammonia-stock': { formula: ammonium },
  'raise-calcium': { formula: ['CaCl2·2H2O', 'CaCl2', 'CaCl2·6H2O'] },
  'raise-magnesium': { formula: ['MgCl2·6H2O', 'MgSO4·7H2O'] },
};
