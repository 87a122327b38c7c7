import type { Entry, TankId } from '@brinewright/journal';
import { useMemo, useState } from 'preact/hooks';
import { entriesFor, write } from '../state/journal.ts';
import { author, names } from '../state/person.ts';
import { print } from '../state/reader.ts';
import { mayWrite, roleIn } from '../state/sharing.ts';
import { words } from '../words/index.ts';
import { sayEntry } from './say.ts';
import { type DiaryLine, diaryLines, isWrittenBySeveral } from './standing.ts';

const FIRST = 30;
/** Not worth hiding. */
const FEW = 10;

/** The journal, newest first: every entry in one plain sentence, corrections beside what they correct. */
export function Diary({ tank, entries }: { tank: TankId; entries: readonly Entry[] }) {
  const [all, setAll] = useState(false);
  const [correcting, setCorrecting] = useState(false);
  const [said, setSaid] = useState('');
  const lines = useMemo(() => diaryLines(entries), [entries]);
  const several = useMemo(() => isWrittenBySeveral(entries, author.value), [entries, author.value]);
  const shown = all || lines.length < FIRST + FEW ? lines : lines.slice(0, FIRST);
  const strike = async (line: DiaryLine, sentence: string) => {
    try {
      await write(entriesFor(tank, Date.now(), [{ kind: 'strike', body: { of: line.entry.id } }]));
      setSaid(words.entry.struckNow(sentence));
    } catch (error) {
      setSaid(words.entry.strikeRefused(error instanceof Error ? error.message : String(error)));
    }
  };
  return (
    <>
      <ol class="diary">
        {shown.map((line, i) => {
          const sentence = sayEntry(line.entry, print.value);
          const before = shown[i - 1];
          const struck = line.struck ? 'struck' : '';
          return (
            <li key={line.entry.id} class={before?.at === line.at ? `same ${struck}` : struck}>
              <time dateTime={line.entry.at} class={before?.at === line.at ? 'hidden-text' : undefined}>
                {print.value.dates.weekday(line.at)} {print.value.dates.clock(line.at)}
              </time>
              <span class="said">
                {line.struck ? <s>{sentence}</s> : sentence}
                <Aside line={line} by={several && roleIn(tank) !== undefined ? line.entry.by : undefined} />
              </span>
              {correcting && canStrike(line) && (
                <button
                  class="word"
                  type="button"
                  aria-label={words.entry.strikeOutThis(sentence)}
                  onClick={() => void strike(line, sentence)}
                >
                  {words.entry.strikeOut}
                </button>
              )}
            </li>
          );
        })}
      </ol>
      <p class="said-now" role="status">
        {said}
      </p>
      <p class="acts">
        {lines.length > shown.length && (
          <button class="act" type="button" onClick={() => setAll(true)}>
            {words.tank.more(lines.length - shown.length)}
          </button>
        )}
        {mayWrite(tank) && (
          <button
            class="word"
            type="button"
            aria-pressed={correcting}
            onClick={() => setCorrecting(!correcting)}
          >
            {correcting ? words.entry.correctDone : words.entry.correct}
          </button>
        )}
      </p>
    </>
  );
}

function Aside({ line, by }: { line: DiaryLine; by: string | undefined }) {
  const parts = [
    by === undefined ? undefined : sayAuthor(line, by),
    line.struck ? words.entry.struckAside(line.why) : undefined,
    line.amended ? words.entry.amendedAside : undefined,
  ].filter((part) => part !== undefined);
  return parts.length === 0 ? null : <span class="aside">{parts.join(' · ')}</span>;
}

function sayAuthor({ entry }: DiaryLine, by: string): string {
  const name = by === author.value ? words.entry.you : (names.value[by] ?? words.entry.someone);
  return 'remark' in entry.body ? words.entry.remarkBy(name) : words.entry.by(name);
}

const canStrike = ({ entry, struck }: DiaryLine) => !struck && entry.kind !== 'strike';
