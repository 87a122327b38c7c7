import type { TankId } from '@brinewright/journal';
import { ago } from '../format/print.ts';
import { answerOf, leaveOff, reckon } from '../state/course.ts';
import { entriesOf } from '../state/journal.ts';
import { now } from '../state/reader.ts';
import { words } from '../words/index.ts';

const WORTH_SAYING_MS = 10 * 60_000;

/** How current the answer is: being reckoned, old, or failed. Silent while it is up to date. */
export function Working({ tank }: { tank: TankId }) {
  const answer = answerOf(tank).value;
  const written = entriesOf(tank).length;
  const { last, work, failed, leftOff } = answer;
  if (failed !== undefined)
    return (
      <div class="progress">
        <p class="problem">{words.tank.failed(failed)}</p>
        <Again tank={tank} />
      </div>
    );
  if (leftOff !== undefined)
    return (
      <div class="progress">
        <p>
          {words.tank.leftOff} {last !== undefined && words.tank.reckonedAt(ago(last.reckonedAt, now.value))}
        </p>
        <Again tank={tank} />
      </div>
    );
  if (work === undefined) {
    const old = last !== undefined && now.value - last.reckonedAt > WORTH_SAYING_MS;
    return old ? <p class="progress">{words.tank.reckonedAt(ago(last.reckonedAt, now.value))}</p> : null;
  }
  const behind = last !== undefined && last.seen !== written;
  return (
    <div class="progress">
      {last === undefined && <p>{words.tank.first}</p>}
      <p>
        {behind && `${words.tank.since(ago(last.reckonedAt, now.value))} `}
        {words.tank.reckoning(work.said)}
      </p>
      <Bar fraction={work.fraction} />
      <button class="word" type="button" onClick={() => leaveOff(tank)}>
        {words.tank.leaveOff}
      </button>
    </div>
  );
}

export function Bar({ fraction }: { fraction: number }) {
  return (
    <div class="bar" aria-hidden="true">
      <i style={{ transform: `scaleX(${fraction})` }} />
    </div>
  );
}

function Again({ tank }: { tank: TankId }) {
  return (
    <button class="word" type="button" onClick={() => reckon(tank, true)}>
      {words.tank.again}
    </button>
  );
}
