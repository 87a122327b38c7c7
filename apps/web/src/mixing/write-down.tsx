import type { Draft as EntryDraft, Tool, Worked } from '@brinewright/counsel';
import type { TankFacts } from '@brinewright/journal';
import { useState } from 'preact/hooks';
import { Said } from '../bench/said.tsx';
import { When } from '../bench/when.tsx';
import { type Outcome, undo, writeDown } from '../bench/write-down.ts';
import { sayEntry } from '../entries/say.ts';
import { entries, entriesFor } from '../state/journal.ts';
import { print } from '../state/reader.ts';
import { words } from '../words/index.ts';
import { mixingWords } from '../words/mixing.ts';
import { onItsWay } from './state.ts';

const of = mixingWords.write;

interface WriteProps {
  readonly tool: Tool;
  readonly answer: Worked;
  readonly tank: TankFacts | undefined;
  /** What was typed. As long as it stays the same, the answer was written down already. */
  readonly typed: object;
}

/** The answer as entries of the tank's journal, once it was done. */
export function WriteDown({ tool, answer, tank, typed }: WriteProps) {
  if (answer.entries.length === 0) return null;
  return (
    <section class="writing" aria-labelledby="writing">
      <h3 id="writing">{of.title}</h3>
      {tank === undefined ? (
        <p class="soft">{of.noTank}</p>
      ) : (
        <Entries tool={tool} drafts={answer.entries} tank={tank} typed={typed} />
      )}
    </section>
  );
}

interface EntriesProps {
  readonly tool: Tool;
  readonly drafts: readonly EntryDraft[];
  readonly tank: TankFacts;
  readonly typed: object;
}

/** What a press of the button was about. */
interface Press {
  readonly typed: object;
  readonly ticks: object;
  readonly when: string | null;
  readonly outcome: Outcome;
}

function Entries({ tool, drafts, tank, typed }: EntriesProps) {
  const [ticks, setTicks] = useState<Readonly<Record<number, boolean>>>({});
  const [when, setWhen] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const [last, setLast] = useState<Press | undefined>();
  const ticked = drafts.filter((draft, at) => ticks[at] ?? startsTicked(tool, draft, at, drafts));
  const same = last?.typed === typed && last.ticks === ticks && last.when === when;
  const outcome = same || last?.outcome.kind === 'written' ? last?.outcome : undefined;
  const about = JSON.stringify([tank.tank, when, ticked]);
  const stands = last === undefined && standsAlready(tool, about);
  const writtenAlready = stands || (same && outcome?.kind === 'written');
  const name = tank.name ?? mixingWords.tank.unnamed;
  const said = (made: Promise<Outcome>) => {
    setBusy(true);
    return made.then((result) => {
      setLast({ typed, ticks, when, outcome: result });
      setBusy(false);
    });
  };
  const write = () =>
    ticked.length === 0
      ? said(Promise.resolve({ kind: 'refused', why: of.nothing }))
      : said(
          writeDown(tank.tank, when, ticked, (ids) => {
            onItsWay.value = { ...onItsWay.value, [tool.id]: { about, ids } };
          }),
        );
  return (
    <>
      <p class="soft">{of.into(name)}</p>
      <ul class="ticks">
        {drafts.map((draft, at) => (
          <li key={`${at} ${draft.kind}`}>
            <label>
              <input
                type="checkbox"
                checked={ticked.includes(draft)}
                onChange={(event) => setTicks({ ...ticks, [at]: event.currentTarget.checked })}
              />
              <span>
                {sayDraft(tank, draft)}
                {isHoped(tool, draft) && <span class="soft"> ({of.unread})</span>}
                {alike(drafts, draft) > 1 && (
                  <span class="soft"> ({of.oneOf(at + 1, alike(drafts, draft))})</span>
                )}
              </span>
            </label>
          </li>
        ))}
      </ul>
      <When when={when} onWhen={setWhen} />
      {stands && <p role="status">{of.stands}</p>}
      <p class="acts">
        <button
          class={writtenAlready ? 'word' : 'act chief'}
          type="button"
          disabled={busy}
          onClick={() => void write()}
        >
          {busy ? words.bench.writing : writtenAlready ? of.again : of.act}
        </button>
      </p>
      <Said
        outcome={outcome}
        tank={tank.tank}
        name={name}
        onUndo={(ids) => void said(undo(tank.tank, ids))}
      />
    </>
  );
}

/** The page was closed after the press: what was on its way to the disk may have arrived. */
function standsAlready(tool: Tool, about: string): boolean {
  const sent = onItsWay.value[tool.id];
  if (sent?.about !== about) return false;
  const struck = entries.value.flatMap(({ kind, body }) => (kind === 'strike' ? [body.of] : []));
  return sent.ids.every((id) => entries.value.some((entry) => entry.id === id) && !struck.includes(id));
}

const sayDraft = (tank: TankFacts, draft: EntryDraft): string =>
  sayEntry(entriesFor(tank.tank, Date.now(), [draft])[0]!, print.value);

/** A reading that the answer aims at is a hope until someone has read it; an instrument's was read already. */
const isHoped = (tool: Tool, { kind }: EntryDraft): boolean =>
  kind === 'reading' && tool.shelf !== 'instruments';

const alike = (all: readonly EntryDraft[], { kind }: EntryDraft): number =>
  all.filter((each) => each.kind === kind).length;

/** Of several equal changes one is done at a time. */
function startsTicked(tool: Tool, draft: EntryDraft, at: number, all: readonly EntryDraft[]): boolean {
  return !isHoped(tool, draft) && !all.slice(0, at).some(({ kind }) => kind === draft.kind);
}
