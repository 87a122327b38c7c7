import type { TankFacts, TankId } from '@brinewright/journal';
import { useEffect } from 'preact/hooks';
import { ReadyWindows } from '../charts/windows.tsx';
import { sayLitres } from '../entries/say.ts';
import { DAY_MS } from '../format/dates.ts';
import { withSubscripts } from '../format/ions.ts';
import { dueWords } from '../orders/due.ts';
import { Emphasised } from '../parts/emphasised.tsx';
import { Title } from '../parts/title.tsx';
import { Working } from '../parts/working.tsx';
import { answerOf, keepCurrent, lastOf } from '../state/course.ts';
import { entries, tanks } from '../state/journal.ts';
import { paths } from '../state/paths.ts';
import { now, preferences, print } from '../state/reader.ts';
import { words } from '../words/index.ts';
import { mostUrgentFirst, testedWords } from './urgency.ts';

/** All tanks on this device, the one that needs someone first on top. */
export function Rounds() {
  const { putAway } = preferences.value;
  const here = [...tanks.value.values()].filter(({ tank }) => !putAway.includes(tank));
  const away = tanks.value.size - here.length;
  const ordered = mostUrgentFirst(here, (tank) => lastOf(tank).value?.orders, now.value);
  const written = entries.value.length;
  useEffect(() => {
    for (const { tank } of ordered) keepCurrent(tank);
  }, [written]);
  const title = here.length === 0 ? words.rounds.titleNone : words.rounds.title(here.length);
  return (
    <>
      <div class="lede">
        <Title name={words.nav.rounds}>{title}</Title>
        {here.length > 1 && <p>{words.rounds.lede}</p>}
        {here.length === 0 && <NoTanks />}
      </div>
      <Windows ordered={ordered} />
      <ul class="rows rounds">
        {ordered.map((facts, i) => (
          <Round key={facts.tank} facts={facts} first={i === 0} several={ordered.length > 1} />
        ))}
      </ul>
      {away > 0 && <p class="soft">{words.rounds.putAway(away)}</p>}
    </>
  );
}

/** All ready windows on one axis, where there is more than one to compare. */
function Windows({ ordered }: { ordered: readonly TankFacts[] }) {
  const rows = ordered.flatMap(({ tank, name = words.rounds.unnamed }) => {
    const sheet = lastOf(tank).value?.sheet;
    return sheet === undefined ? [] : [{ tank, name, sheet }];
  });
  if (rows.length < 2) return null;
  return (
    <section class="part" aria-labelledby="windows">
      <h2 id="windows">{words.rounds.windows}</h2>
      <ReadyWindows rows={rows} now={now.value} dates={print.value.dates} />
    </section>
  );
}

function NoTanks() {
  return (
    <>
      <p>{words.rounds.none}</p>
      <p class="acts">
        <a class="act chief" href={paths.newTank}>
          {words.rounds.openNew}
        </a>
        <a class="act" href={paths.workshop}>
          {words.rounds.bringIn}
        </a>
      </p>
    </>
  );
}

function Round({ facts, first, several }: { facts: TankFacts; first: boolean; several: boolean }) {
  const last = lastOf(facts.tank).value;
  const sheet = last?.sheet;
  const [order] = last?.orders ?? [];
  const name = facts.name ?? words.rounds.unnamed;
  return (
    <li class="round">
      {first && several && <p class="now">{words.rounds.first}</p>}
      <h2>
        <a href={paths.tank(facts.tank)}>
          {sheet ? (
            <Emphasised sentence={sheet.sentence} emphasis={sheet.emphasis} />
          ) : (
            words.rounds.waiting(name)
          )}
        </a>
      </h2>
      <p class="soft">{[footingOf(facts), testedWords(facts, now.value)].join(' · ')}</p>
      {order !== undefined && (
        <p class="next">
          <span class="now">{dueWords(order, now.value, print.value.dates)}</span> {withSubscripts(order.say)}
        </p>
      )}
      <Busy tank={facts.tank} />
      <p class="acts">
        <a
          class={first ? 'act' : 'word'}
          href={paths.bench(facts.tank)}
          aria-label={`${words.rounds.toBench}: ${name}`}
        >
          {words.rounds.toBench}
        </a>
      </p>
    </li>
  );
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
