import type { TankFacts, TankId } from '@brinewright/journal';
import { useEffect } from 'preact/hooks';
import { ReadyWindows } from '../charts/windows.tsx';
import { sayLitres } from '../entries/say.ts';
import { DAY_MS } from '../format/dates.ts';
import { withSubscripts } from '../format/ions.ts';
import { dueWords } from '../orders/due.ts';
import { Emphasised } from '../parts/emphasised.tsx';
import { Working } from '../parts/working.tsx';
import { answerOf, keepCurrent, lastOf } from '../state/course.ts';
import { entries, factsFor } from '../state/journal.ts';
import { paths } from '../state/paths.ts';
import { now, print } from '../state/reader.ts';
import { mayWrite } from '../state/sharing.ts';
import { words } from '../words/index.ts';
import { testedWords } from './say.ts';
import { isOurs, type Stand } from './stand.ts';

/** Some tanks, each in its sentence, and all their ready windows on one axis of time. */
export function Few({ ordered }: { ordered: readonly Stand[] }) {
  const written = entries.value.length;
  const ours = ordered.filter(({ tank }) => isOurs(tank) && factsFor(tank) !== undefined);
  useEffect(() => {
    for (const { tank } of ours) keepCurrent(tank);
  }, [written, ours.length]);
  return (
    <>
      <Windows ordered={ordered} />
      <ul class="rows rounds">
        {ordered.map((stand, i) => (
          <Round key={stand.tank} stand={stand} first={i === 0} several={ordered.length > 1} />
        ))}
      </ul>
    </>
  );
}

/** Where there is more than one to compare. */
function Windows({ ordered }: { ordered: readonly Stand[] }) {
  const rows = ordered.flatMap(({ tank, name = words.rounds.unnamed, told }) =>
    told === undefined ? [] : [{ tank, name, sheet: told }],
  );
  if (rows.length < 2) return null;
  return (
    <section class="part" aria-labelledby="windows">
      <h2 id="windows">{words.rounds.windows}</h2>
      <ReadyWindows rows={rows} now={now.value} dates={print.value.dates} />
    </section>
  );
}

function Round({ stand, first, several }: { stand: Stand; first: boolean; several: boolean }) {
  const { tank, name = words.rounds.unnamed, told, testedAt } = stand;
  const facts = factsFor(tank);
  const footing = facts === undefined ? words.rounds.notHere : footingOf(facts);
  return (
    <li class="round">
      {first && several && <p class="now">{words.rounds.needsFirst}</p>}
      <h2>
        <a href={paths.tank(tank)}>
          {told === undefined ? (
            words.rounds.waiting(name)
          ) : (
            <Emphasised sentence={told.sentence} emphasis={emphasisOf(tank, told.sentence)} />
          )}
        </a>
      </h2>
      <p class="soft">
        {[footing, facts && testedWords(testedAt, now.value)]
          .filter((part) => part !== undefined)
          .join(' · ')}
      </p>
      {told?.order !== undefined && (
        <p class="next">
          <span class="now">{dueWords(told.order, now.value, print.value.dates)}</span>{' '}
          {withSubscripts(told.order.say)}
        </p>
      )}
      <Busy tank={tank} />
      {mayWrite(tank) && facts !== undefined && (
        <p class="acts">
          <a
            class={first ? 'act' : 'word'}
            href={paths.bench(tank)}
            aria-label={`${words.rounds.toBench}: ${name}`}
          >
            {words.rounds.toBench}
          </a>
        </p>
      )}
    </li>
  );
}

/** What this device underlined in the same sentence. */
function emphasisOf(tank: TankId, sentence: string): string | null {
  const sheet = lastOf(tank).value?.sheet;
  return sheet?.sentence === sentence ? sheet.emphasis : null;
}

/** Said in the rounds only while something is under way or went wrong. */
function Busy({ tank }: { tank: TankId }) {
  const { work, failed } = answerOf(tank).value;
  return work !== undefined || failed !== undefined ? <Working tank={tank} /> : null;
}

function footingOf(facts: TankFacts): string {
  const day = facts.opened === undefined ? 0 : Math.floor((now.value - facts.opened) / DAY_MS);
  const litres = facts.litres === undefined ? undefined : sayLitres(facts.litres, print.value);
  return words.tank.footing(Math.max(day, 0), litres);
}
