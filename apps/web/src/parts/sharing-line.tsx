import type { TankId } from '@brinewright/journal';
import { ago } from '../format/print.ts';
import { factsFor } from '../state/journal.ts';
import { paths } from '../state/paths.ts';
import { person } from '../state/person.ts';
import { now } from '../state/reader.ts';
import { onlyHere, sharing, trouble, waiting } from '../state/sharing.ts';
import { words } from '../words/index.ts';

/** The quiet line: when device and server last agreed, and what waits. Nothing where there is no server. */
export function SharingLine() {
  const { server, agreedAt } = sharing.value;
  const of = words.line;
  if (server === 'none') return null;
  if (server === 'shared' && person.value.now === null)
    return (
      <p>
        {of.guest} <a href={paths.signIn}>{of.signIn}</a>
      </p>
    );
  return (
    <p class="in-step">
      {trouble.value?.kind === 'unreachable' && `${of.away(waiting.value)} `}
      {agreedAt === null ? of.never : of.agreed(ago(agreedAt, Math.max(now.value, agreedAt)), waiting.value)}
      {onlyHere.value.length > 0 && (
        <>
          {' '}
          <a href={`${paths.workshop}#account`}>{of.onlyHere(onlyHere.value.length)}</a>
        </>
      )}
    </p>
  );
}

/** Above the sheet: what only a person can put right. */
export function SharingNotices() {
  const of = words.line;
  const { refused } = sharing.value;
  const state = trouble.value;
  return (
    <>
      {state?.kind === 'signed-out' && (
        <div class="notice">
          <p role="status">{of.signedOut(waiting.value)}</p>
          <a class="act" href={paths.signIn}>
            {of.signIn}
          </a>
        </div>
      )}
      {state?.kind === 'failed' && (
        <div class="notice">
          <p role="status">{of.failed(state.why)}</p>
        </div>
      )}
      {Object.entries(refused).map(([tank, { count, why }]) => (
        <div class="notice" key={tank}>
          <p role="status">{of.refused[why](nameOf(tank), count)}</p>
        </div>
      ))}
    </>
  );
}

const nameOf = (tank: string): string => factsFor(tank as TankId)?.name ?? words.rounds.unnamed;
