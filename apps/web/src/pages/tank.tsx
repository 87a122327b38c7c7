import type { Sheet as Answered } from '@brinewright/counsel';
import type { TankFacts, TankId } from '@brinewright/journal';
import { useEffect } from 'preact/hooks';
import { useLocation } from 'preact-iso';
import { CourseSection } from '../ahead/course-section.tsx';
import { LedgerChart } from '../charts/ledger.tsx';
import { DEMONSTRATION } from '../demo/plant.ts';
import { Diary } from '../entries/diary.tsx';
import { sayLitres } from '../entries/say.ts';
import { DAY_MS } from '../format/dates.ts';
import { Orders } from '../orders/orders.tsx';
import { Emphasised } from '../parts/emphasised.tsx';
import { Fetched } from '../parts/fetched.tsx';
import { InTurn, RANK } from '../parts/in-turn.tsx';
import { Title } from '../parts/title.tsx';
import { Working } from '../parts/working.tsx';
import { keepCurrent, lastOf } from '../state/course.ts';
import { entriesOf, factsFor } from '../state/journal.ts';
import { paths } from '../state/paths.ts';
import { now, prefer, preferences, print } from '../state/reader.ts';
import { mayWrite, roleIn } from '../state/sharing.ts';
import { words } from '../words/index.ts';
import { LostTank } from './lost.tsx';

/** One tank, read from top to bottom: where it stands, the course, the nitrogen ledger, the journal. */
export function TankSheet({ id }: { id: string }) {
  const facts = factsFor(id as TankId);
  return facts === undefined ? <LostTank id={id} /> : <Sheet key={facts.tank} facts={facts} />;
}

function Sheet({ facts }: { facts: TankFacts }) {
  const { tank } = facts;
  const written = entriesOf(tank).length;
  useEffect(() => keepCurrent(tank, true), [tank, written]);
  const last = lastOf(tank).value;
  const sheet = last?.sheet;
  // What has not seen the newest entry, or rests on the course before, is about to be replaced.
  const behind = last !== undefined && last.seen !== written;
  const turnOf = (rank: number, late = behind) => (late ? RANK.late : rank);
  const name = facts.name ?? words.rounds.unnamed;
  const printed = print.value;
  const role = roleIn(tank);
  return (
    <>
      <div class="lede">
        <Title name={name}>
          {sheet ? (
            <Emphasised sentence={sheet.sentence} emphasis={sheet.emphasis} />
          ) : (
            words.rounds.waiting(name)
          )}
        </Title>
        <p>{sheet ? footingOf(sheet) : firstFooting(facts)}</p>
        <Working tank={tank} />
        {tank === DEMONSTRATION && <Demonstration tank={tank} />}
        <p class="acts">
          {mayWrite(tank) && (
            <a class="act chief" href={paths.bench(tank)}>
              {words.tank.toBench}
            </a>
          )}
          <a href={paths.label(tank)}>{words.tank.label}</a>
          {role !== undefined && <a href={paths.crew(tank)}>{words.tank.crew}</a>}
        </p>
        {role !== undefined && role !== 'keeper' && <p class="remark">{words.tank.part[role]}</p>}
      </div>
      {role !== undefined && (
        <Fetched quiet load={() => import('../crew/proposals.tsx')}>
          {({ Proposals }) => <Proposals tank={tank} role={role} />}
        </Fetched>
      )}
      <InTurn
        rank={turnOf(RANK.orders, behind || last?.weighed === 'before')}
        from={[last?.orders, last?.weighed, facts]}
      >
        {() =>
          last?.orders && (
            <section class="part" aria-labelledby="orders">
              <h2 id="orders">{words.orders.title}</h2>
              {last.weighed !== 'whole' && <p class="remark">{words.orders.weighed[last.weighed]}</p>}
              <Orders orders={last.orders} facts={facts} />
            </section>
          )
        }
      </InTurn>
      <InTurn rank={turnOf(RANK.course)} from={[sheet, last?.ideas]}>
        {() =>
          last &&
          last.sheet.course.series.length > 0 && (
            <CourseSection tank={tank} sheet={last.sheet} ideas={last.ideas} />
          )
        }
      </InTurn>
      <InTurn rank={turnOf(RANK.ledger)} from={[sheet, printed]}>
        {() =>
          sheet && (
            <>
              <Doubts title={words.tank.doubts} said={[...sheet.doubts, ...sheet.course.fit.warnings]} />
              <section class="part" aria-labelledby="ledger">
                <h2 id="ledger">{words.tank.ledger}</h2>
                <LedgerChart ledger={sheet.ledger} numbers={printed.numbers} />
              </section>
            </>
          )
        }
      </InTurn>
      <InTurn rank={RANK.diary} from={[facts]}>
        {() => (
          <>
            <Doubts title={words.tank.facts} said={facts.doubts.map(({ message }) => message)} />
            <section class="part long" aria-labelledby="journal">
              <h2 id="journal">{words.tank.journal}</h2>
              <Diary tank={tank} entries={entriesOf(tank)} />
            </section>
          </>
        )}
      </InTurn>
    </>
  );
}

function Doubts({ title, said }: { title: string; said: readonly string[] }) {
  if (said.length === 0) return null;
  return (
    <section class="part">
      <h2>{title}</h2>
      <ul class="lines">
        {said.map((doubt) => (
          <li key={doubt}>{doubt}</li>
        ))}
      </ul>
    </section>
  );
}

function Demonstration({ tank }: { tank: TankId }) {
  const { route } = useLocation();
  const { putAway } = preferences.value;
  const leave = () => {
    prefer({ putAway: [...putAway, tank] });
    route(paths.rounds);
  };
  return (
    <p class="remark">
      {words.tank.demonstration}{' '}
      {!putAway.includes(tank) && (
        <button class="word" type="button" onClick={leave}>
          {words.tank.putAway}
        </button>
      )}
    </p>
  );
}

function footingOf({ footingParts: { day, litres, window } }: Answered): string {
  const water = litres === null ? words.tank.litresUnknown : sayLitres(litres, print.value);
  return words.tank.footing(day, water, window === null ? undefined : words.tank.window);
}

function firstFooting(facts: TankFacts): string {
  const day = facts.opened === undefined ? 0 : Math.max(0, Math.floor((now.value - facts.opened) / DAY_MS));
  return words.tank.footing(
    day,
    facts.litres === undefined ? undefined : sayLitres(facts.litres, print.value),
  );
}
