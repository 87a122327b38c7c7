import type { Entry, TankId } from '@brinewright/journal';
import { useMemo, useState } from 'preact/hooks';
import { InTurn, RANK } from '../parts/in-turn.tsx';
import { entriesFor, write } from '../state/journal.ts';
import { paths } from '../state/paths.ts';
import { author, names } from '../state/person.ts';
import { print } from '../state/reader.ts';
import { mayWrite, roleIn } from '../state/sharing.ts';
import { words } from '../words/index.ts';
import { canAmend } from './amendable.ts';
import { sayEntry } from './say.ts';
import { type DiaryLine, diaryLines, isWrittenBySeveral } from './standing.ts';

const FIRST = 30;
/** Lines drawn in one go. */
const PIECE = 40;
/** Not worth hiding. */
const FEW = 10;

/** The journal, newest first: every entry in one plain sentence, corrections beside what they correct. */
export function Diary({ tank, entries }: { tank: TankId; entries: readonly Entry[] }) {
  const [all, setAll] = useState(false);
  const [correcting, setCorrecting] = useState(false);
  const [said, setSaid] = useState('');
  const lines = useMemo(() => diaryLines(entries), [entries]);
  const several = useMemo(() => isWrittenBySeveral(entries, author.value), [entries, author.value]);
  const head = lines.length < FIRST + FEW ? lines.length : FIRST;
  const whole = all || head === lines.length;
  const rest = whole ? lines.slice(head) : [];
  const strike = async (line: DiaryLine, sentence: string) => {
    try {
      await write(entriesFor(tank, Date.now(), [{ kind: 'strike', body: { of: line.entry.id } }]));
      setSaid(words.entry.struckNow(sentence));
    } catch (error) {
      setSaid(words.entry.strikeRefused(error instanceof Error ? error.message : String(error)));
    }
  };
  const piece = {
    withAuthors: several && roleIn(tank) !== undefined,
    onStrike: correcting ? strike : undefined,
  };
  return (
    <>
      <Piece of={lines.slice(0, head)} before={undefined} {...piece} />
      {Array.from({ length: Math.ceil(rest.length / PIECE) }, (_, i) => (
        <InTurn
          key={lines.length - head - i * PIECE}
          rank={RANK.diary}
          from={[lines, correcting, piece.withAuthors]}
        >
          {() => (
            <Piece
              of={rest.slice(i * PIECE, (i + 1) * PIECE)}
              before={lines[head + i * PIECE - 1]}
              {...piece}
            />
          )}
        </InTurn>
      ))}
      <p class="said-now" role="status">
        {said}
      </p>
      <p class="acts">
        {!whole && (
          <button class="act" type="button" onClick={() => setAll(true)}>
            {words.tank.more(lines.length - head)}
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

interface PieceProps {
  readonly of: readonly DiaryLine[];
  /** The line above the first. */
  readonly before: DiaryLine | undefined;
  readonly withAuthors: boolean;
  /** Strikes a line out; undefined while nothing is to be corrected. */
  readonly onStrike: ((line: DiaryLine, sentence: string) => Promise<void>) | undefined;
}

/** Some lines of the journal. A browser lays a piece out when it comes into view, finds its words and prints it all the same. */
function Piece({ of, before: above, withAuthors, onStrike }: PieceProps) {
  const { dates } = print.value;
  return (
    <ol class="diary">
      {of.map((line, i) => {
        const sentence = sayEntry(line.entry, print.value);
        const same = (of[i - 1] ?? above)?.at === line.at ? 'same ' : '';
        return (
          <li key={line.entry.id} class={`${same}${line.struck ? 'struck' : ''}`}>
            <time dateTime={line.entry.at} class={same ? 'hidden-text' : undefined}>
              {dates.weekday(line.at)} {dates.clock(line.at)}
            </time>
            <span class="said">
              {line.struck ? <s>{sentence}</s> : sentence}
              <Aside line={line} by={withAuthors ? line.entry.by : undefined} />
            </span>
            {onStrike !== undefined && canStrike(line) && (
              <span class="mend">
                {canAmend(line) && (
                  <a
                    href={paths.entry(line.entry.tank, line.entry.id)}
                    aria-label={words.entry.amendThis(sentence)}
                  >
                    {words.entry.amendIt}
                  </a>
                )}
                <button
                  class="word"
                  type="button"
                  aria-label={words.entry.strikeOutThis(sentence)}
                  onClick={() => void onStrike(line, sentence)}
                >
                  {words.entry.strikeOut}
                </button>
              </span>
            )}
          </li>
        );
      })}
    </ol>
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
